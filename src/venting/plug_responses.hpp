// What each vent's plugging does to the whole box, the others as found: solved at a few steps from clean to
// nearly shut, on voxels large enough for a hundred solves to take seconds. A slider answers from these at
// once; how far a vent may plug is narrowed down between two of them.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "venting/venting_box.hpp"

namespace boxfettle {

inline constexpr double nearly_shut = 0.98;  // a vent is never plugged to the last grain

// The box in one state.
struct GasStanding {
  std::vector<double> vent_kg_s;
  double leak_kg_s = 0;
  double p50_s = 0, p95_s = 0;   // age of the pore space
  double worst_age_s = 0;        // of the part reached last
  double unpurged_fraction = 0;  // when gassing ends
};

// Solves the flow and takes its measure. `flow` is of `box`, in whatever state it was put.
GasStanding gas_standing(GasFlow& flow, const VentingBox& box, double gas_seconds, const VentingLines& lines);

struct PlugStep {
  double plugged;
  GasStanding standing;
};

struct PlugResponses {
  GasStanding designed, found;               // on these voxels
  std::vector<std::vector<PlugStep>> steps;  // of each vent, by rising `plugged`; as found among them
  std::vector<double> limit;                 // of each vent; 1: may be shut altogether
};

// The limit of each vent keeps the part reached last within `limit_over_designed` times its age as designed.
// `told` hears the share done after each vent.
PlugResponses plug_responses(const VentingBox& box, const std::vector<Vent>& vents, double gas_seconds,
                             const VentingLines& lines, double limit_over_designed,
                             const FlowSettings& settings, const std::function<void(double share)>& told);

}  // namespace boxfettle
