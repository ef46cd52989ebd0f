// What the clamps hold against what blow pressure opens.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "corebox/core_box.hpp"

namespace boxfettle {

// A bolt's proof stress by property class, ISO 898-1:2013, table 3 (8.8: over 16 mm 600). Empty for a class
// that it does not know.
std::optional<double> proof_stress_mpa(std::string_view strength_class, double diameter_mm);

// "M12" (coarse pitch, ISO 262) or "M12x1.25". Empty when the pitch is not known.
struct Thread {
  double diameter_mm, pitch_mm;
  double stress_area_mm2() const;  // pi/4 (d - 0.9382 P)^2, ISO 898-1:2013, 9.1.6.1
};
std::optional<Thread> thread_named(std::string_view text);

// How a tightening torque becomes a pull: T = K d F. K and its scatter are practice, not a property of the
// bolt.
struct Tightening {
  double nut_factor = 0.20;  // K of steel as received; about 0.15 oiled, 0.30 dry and rusty (textbook values)
  double scatter = 0.30;     // of the pull by a torque wrench, either way (common practice)
};

struct ClampForce {
  std::string id;
  Eigen::Vector2d at_parting_mm;
  double force_N, low_N, high_N;
  std::optional<double> proof_share;  // of the bolt's proof load; above 1 the bolt yields
  double load_N = 0;                  // its part of the opening force
  double margin = 0;                  // force over load; the smallest goes slack first
};

struct Clamping {
  std::vector<ClampForce> clamps;
  double force_N = 0, low_N = 0;
  double opening_N = 0;  // blow pressure on the cavity's shadow
  double margin = 0, margin_low = 0;
  std::optional<std::size_t> slack_first;  // index into clamps
  bool load_shared = false;  // false when the clamps stand in one line or point: their loads are not told
  std::vector<std::string> notes;
};

// `pressure_pa` above the air outside, over `projected_area_mm2` about `centroid_mm`. The half counts as
// stiff and the clamps as equally springy: load_i = F (1/n + r_c^T S^-1 r_i), the least forces that balance F
// and its moments. docs/how/parting-gap.md
Clamping clamping(std::span<const Clamp> clamps, double pressure_pa, double projected_area_mm2,
                  const Eigen::Vector2d& centroid_mm, const Tightening& tightening = {});

}  // namespace boxfettle
