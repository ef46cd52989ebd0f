#include "demo/faulty_core.hpp"

#include <cmath>
#include <numbers>

namespace boxfettle::demo {
namespace {

using Eigen::Vector3d;

constexpr double rad_per_deg = std::numbers::pi / 180;

RigidPose motion_of_upper_half(const PartingFace& parting, const BoxFaults& faults) {
  const Vector3d turn = faults.tilt_deg.x() * parting.x_axis + faults.tilt_deg.y() * parting.y_axis +
                        faults.rotation_deg * parting.normal;
  const Vector3d shift = faults.mismatch_mm.x() * parting.x_axis + faults.mismatch_mm.y() * parting.y_axis +
                         faults.gap_mm * parting.normal;
  return small_motion(rad_per_deg * turn, shift, parting.point_mm);
}

bool within(const PieceFault& piece, const Vector3d& at_mm) {
  return (at_mm.array() >= piece.region_min_mm.array()).all() &&
         (at_mm.array() <= piece.region_max_mm.array()).all();
}

}  // namespace

FaultyCore::FaultyCore(const TriangleMesh& design, const PartingFace& parting, const BoxFaults& faults)
    : parting_(parting), faults_(faults), upper_moved_(motion_of_upper_half(parting, faults)) {
  for (const FaultPatch& patch : faults.patches)
    patches_.push_back(surface_patch(design, patch.centre_mm, patch.radius_mm));
}

double FaultyCore::raised_mm(std::size_t triangle, const Vector3d& at_design_mm) const {
  double raised = 0;
  for (std::size_t i = 0; i < patches_.size(); ++i) {
    if (!patches_[i].holds_triangle[triangle]) continue;
    const double share = (at_design_mm - patches_[i].centre_mm).norm() / faults_.patches[i].radius_mm;
    if (share >= 1) continue;
    const double fall = std::cos(0.5 * std::numbers::pi * share);
    raised += faults_.patches[i].depth_mm * fall * fall;
  }
  for (const PieceFault& piece : faults_.pieces)
    if (within(piece, at_design_mm)) raised += piece.shift_mm;
  return raised;
}

SurfacePoint FaultyCore::shot(const SurfacePoint& design, std::size_t triangle, double extra_mm) const {
  const Vector3d at_mm = design.at_mm + (raised_mm(triangle, design.at_mm) + extra_mm) * design.normal;
  if (!(parting_.height_mm(design.at_mm) > 0)) return {at_mm, design.normal};
  return {upper_moved_ * at_mm, upper_moved_.rotation * design.normal};
}

}  // namespace boxfettle::demo
