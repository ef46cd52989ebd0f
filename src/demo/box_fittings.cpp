#include "demo/box_fittings.hpp"

#include <algorithm>

namespace boxfettle::demo {

using Eigen::Vector2d;
using Eigen::Vector3d;

namespace {

std::string numbered(char kind, std::size_t index) {
  std::string id(1, kind);
  return id += std::to_string(index + 1);
}

}  // namespace

CoreBox box_parted_at_zero(const std::string& id, const std::string& name) {
  CoreBox box;
  box.id = id;
  box.name = name;
  box.process = Process::cold_box;
  box.material = BoxMaterial::aluminium;
  box.design_file = id + ".stl";
  box.limits = {
      .surface_mm = 0.30, .mismatch_mm = 0.40, .gap_mm = 0.20, .weight_percent = 2.0, .casting_grade = ""};
  return box;
}

Vector3d on_surface(const TriangleMesh& design, const Vector3d& near_mm) {
  return *std::min_element(design.vertices.begin(), design.vertices.end(),
                           [&](const Vector3d& a, const Vector3d& b) {
                             return (a - near_mm).squaredNorm() < (b - near_mm).squaredNorm();
                           });
}

void set_vents(CoreBox& box, const TriangleMesh& design, const std::vector<Vector3d>& near_mm,
               double diameter_mm) {
  for (std::size_t i = 0; i < near_mm.size(); ++i) {
    const Vector3d at_mm = on_surface(design, near_mm[i]);
    const Half half = box.parting.height_mm(at_mm) > 0 ? Half::upper : Half::lower;
    box.vents.push_back({numbered('V', i), at_mm, diameter_mm, 0.25, 0, half});
  }
}

void set_blow_inlets(CoreBox& box, const TriangleMesh& design, const std::vector<Vector3d>& near_mm,
                     double diameter_mm) {
  for (std::size_t i = 0; i < near_mm.size(); ++i)
    box.blow_inlets.push_back({numbered('B', i), on_surface(design, near_mm[i]), diameter_mm});
}

Dowel round_dowel(const std::string& id, const Vector2d& at_parting_mm, double pin_mm, double bush_mm) {
  return {id, at_parting_mm, pin_mm, bush_mm, Dowel::Bush::round, {1, 0}, {}, {}};
}

Dowel slot_dowel(const std::string& id, const Vector2d& at_parting_mm, double pin_mm, double bush_mm,
                 const Vector2d& slot_axis, double slot_length_mm) {
  return {id, at_parting_mm, pin_mm, bush_mm, Dowel::Bush::slot, slot_axis.normalized(), slot_length_mm, {}};
}

void set_bolts(CoreBox& box, const std::vector<Vector2d>& at_parting_mm, const std::string& thread,
               const std::string& strength_class, double torque_Nm) {
  for (std::size_t i = 0; i < at_parting_mm.size(); ++i)
    box.clamps.push_back(
        {numbered('C', i), at_parting_mm[i], Clamp::Kind::bolt, thread, strength_class, torque_Nm, 0});
}

void set_toggles(CoreBox& box, const std::vector<Vector2d>& at_parting_mm, double force_N) {
  for (std::size_t i = 0; i < at_parting_mm.size(); ++i)
    box.clamps.push_back({numbered('C', i), at_parting_mm[i], Clamp::Kind::toggle, "", "", 0, force_N});
}

}  // namespace boxfettle::demo
