// Will this box fill, how does that compare with the box as designed, and what would bring the design back?
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "corebox/core_box.hpp"
#include "geometry/triangle_mesh.hpp"
#include "venting/blow_model.hpp"
#include "venting/venting_study.hpp"

namespace boxfettle {

struct BlowSettings {
  double vent_discharge = 0.65;  // of a vent's open area; sharp-edged slots (textbook value, from memory)
  double sand_discharge = 0.6;
  double land_mm = 20;
  std::function<double(const Eigen::Vector2d& at_parting_mm)> opening_mm;  // absent: the halves are shut
  VentingLines lines;
};

struct PathStanding {
  std::string id;
  double share;           // of the air that leaves while the box fills
  double mass_flow_kg_s;  // mean over the filling
};

struct BlowStudy {
  BlowRun found, found_adiabatic, designed;
  // What is due to each: the box as found but for its vents clean, or its halves shut. Absent when they are.
  std::optional<BlowRun> with_clean_vents, with_shut_halves;
  std::vector<PathStanding> paths;
  double vent_to_blow_area_ratio = 0;  // open area as found over that of the tubes
  double gap_m2 = 0;
  double gap_share = 0;                         // of the air that leaves, through the parting face
  std::optional<double> restoring_blow_bar;     // gauge; the design's fill time again
  std::optional<double> restoring_vent_factor;  // times the open area as found
  VentingLines lines;
  VentingVerdict verdict = VentingVerdict::cannot_tell;
  std::vector<std::string> reasons, notes;
};

// `design` in mm, closed: its volume is the cavity's, its outline the gap's. Throws InputError (file "design"
// or "box"): not closed, no blow inlet, neither vent nor gap.
BlowStudy study_blowing(const TriangleMesh& design, const CoreBox& box, const BlowSettings& settings);

}  // namespace boxfettle
