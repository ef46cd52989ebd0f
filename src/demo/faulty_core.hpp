// The surface of a core shot in a box with known faults: where a point of the design's surface ends up.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "corebox/core_box.hpp"
#include "demo/surface_patch.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/rigid_pose.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle::demo {

struct SurfacePoint {
  Eigen::Vector3d at_mm;
  Eigen::Vector3d normal;  // unit, outward: that of its triangle
};

class FaultyCore {
 public:
  FaultyCore(const TriangleMesh& design, const PartingFace& parting, const BoxFaults& faults);

  // How far the surface is raised along its normal at a point of the design (the halves' own motion not
  // counted).
  double raised_mm(std::size_t triangle, const Eigen::Vector3d& at_design_mm) const;

  // The design's point raised by that and `extra_mm` more, then moved with its half.
  SurfacePoint shot(const SurfacePoint& design, std::size_t triangle, double extra_mm) const;

 private:
  const PartingFace& parting_;
  const BoxFaults& faults_;
  std::vector<SurfacePatch> patches_;  // one per fault patch
  RigidPose upper_moved_;              // shifts and turns about the parting point
};

}  // namespace boxfettle::demo
