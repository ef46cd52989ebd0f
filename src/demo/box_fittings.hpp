// What the three invented boxes have in common, and how their fittings are set on the core's surface.
#pragma once

#include <string>
#include <vector>

#include "corebox/core_box.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle::demo {

// A cold box of aluminium that parts at z = 0 with limits of 0.30 (surface), 0.40 (mismatch) and 0.20 mm
// (gap).
CoreBox box_parted_at_zero(const std::string& id, const std::string& name);

// The design's own corner nearest to a place: on its surface to the bit.
Eigen::Vector3d on_surface(const TriangleMesh& design, const Eigen::Vector3d& near_mm);

// Vents and blow inlets at the surface nearest to each place, named V1.. and B1..; a vent belongs to the half
// it is in.
void set_vents(CoreBox& box, const TriangleMesh& design, const std::vector<Eigen::Vector3d>& near_mm,
               double diameter_mm);
void set_blow_inlets(CoreBox& box, const TriangleMesh& design, const std::vector<Eigen::Vector3d>& near_mm,
                     double diameter_mm);

Dowel round_dowel(const std::string& id, const Eigen::Vector2d& at_parting_mm, double pin_mm, double bush_mm);
Dowel slot_dowel(const std::string& id, const Eigen::Vector2d& at_parting_mm, double pin_mm, double bush_mm,
                 const Eigen::Vector2d& slot_axis, double slot_length_mm);

// Clamps C1.. of one kind: toggles of a rated force, or bolts of a thread, class and torque.
void set_bolts(CoreBox& box, const std::vector<Eigen::Vector2d>& at_parting_mm, const std::string& thread,
               const std::string& strength_class, double torque_Nm);
void set_toggles(CoreBox& box, const std::vector<Eigen::Vector2d>& at_parting_mm, double force_N);

}  // namespace boxfettle::demo
