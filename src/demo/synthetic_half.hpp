// A scan of one half of a core box, the tool itself, with known faults, so that tests know the truth.
#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

#include "corebox/core_box.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/point_cloud.hpp"
#include "geometry/rigid_pose.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle::demo {

// A smooth bump on the parting face: height * cos^2(pi/2 * distance / radius).
struct FaceDamage {
  Eigen::Vector2d at_parting_mm;
  double radius_mm;
  double height_mm;  // raised metal positive, a dent negative
};

struct DowelFault {
  std::string id;
  Eigen::Vector2d shift_mm = {0, 0};  // of pin, bore or slot, along the parting face's axes
  double diameter_change_mm = 0;      // a worn pin negative, a worn bore or slot positive
};

struct HalfFaults {
  double face_offset_mm = 0;  // positive: the whole face stands proud of where the cavity wants it
  Eigen::Vector2d face_tilt_deg = {0, 0};  // of the face about its axes through the parting point
  double bow_mm = 0;                       // the face's ends along x stand this much prouder than its middle
  double twist_mm = 0;                     // corners up and down in turn by this, against the middle
  std::vector<FaceDamage> damage = {};
  std::vector<DowelFault> dowels = {};
  std::vector<FaultPatch> patches = {};  // in the cavity: wear positive, build-up negative
};

// The block the half is cut from: a rectangle round the core's outline and the dowels.
class ToolHalf {
 public:
  // `box`, `design` and `faults` must outlive it. Dowel pins stand on the lower half, the upper has the
  // bores.
  ToolHalf(const TriangleMesh& design, const CoreBox& box, Half half, const HalfFaults& faults);

  // How far the real face stands out of the tool at a place, against the design's parting plane.
  double face_height_mm(const Eigen::Vector2d& at_parting_mm) const;
  // The same without damage: what flatness speaks of.
  double face_form_mm(const Eigen::Vector2d& at_parting_mm) const;
  // Inside the block and outside the core's outline and the dowels.
  bool on_face(const Eigen::Vector2d& at_parting_mm) const;

  Eigen::Vector2d low_mm, high_mm;  // the block's outline, along the parting face's axes
  double depth_mm = 0;              // of the block under the face

  const TriangleMesh& design;
  const CoreBox& box;
  const Half half;
  const HalfFaults& faults;

  Eigen::Vector3d out_of_tool() const {
    return half == Half::lower ? box.parting.normal : -box.parting.normal;
  }
  bool has_pins() const { return half == Half::lower; }

 private:
  struct Outline {
    std::vector<Eigen::Vector2d> points_mm;
    bool closed;
  };
  std::vector<Outline> outline_;
};

// Cavity, face, dowels and the block's four sides, evenly sampled. Of the scanner's settings the points, the
// noise of single points, outliers, unseen fraction (cut away from one side), pose and seed count; a table is
// the floor the block stands on.
SyntheticScan scan_half(const ToolHalf& tool, const Scanner& scanner);

}  // namespace boxfettle::demo
