// What feeler readings and clamps say about how a box closes: growth, weight, leak, sand, force, and likely
// causes.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "closing/cavity_footprint.hpp"
#include "closing/clamping.hpp"
#include "closing/closing_verdict.hpp"
#include "closing/gap_field.hpp"
#include "closing/sand_escape.hpp"
#include "corebox/core_box.hpp"
#include "flow/slit_flow.hpp"

namespace boxfettle {

struct PartingGapSettings {
  FeelerSettings feelers;
  Tightening tightening;
  double land_mm = 20;           // sealing land that a leak must cross; a box file does not say it
  double vent_discharge = 0.65;  // of a vent's open area; sharp-edged slots (textbook value)
  double air_temperature_C = 20;
};

struct Growth {
  double mean_mm = 0;  // over the cavity's shadow; over the readings when there is no design
  double max_mm = 0;
  Eigen::Vector2d at_parting_mm = {0, 0};
  double u95_mm = 0;  // of the largest
  double mean_u95_mm = 0;
};

struct AddedWeight {
  double volume_cm3 = 0, volume_u95_cm3 = 0;
  double weight_g = 0, percent = 0;
  double core_weight_g = 0;  // of the design at the bulk density given
};

struct Leak {
  double area_mm2 = 0;        // opening times outline
  double mass_flow_kg_s = 0;  // the most that can pass, with blow pressure behind the whole outline
  std::optional<double>
      share_of_vents;                // of what the vents pass under the same pressure; absent without vents
  std::optional<SlitRegime> regime;  // where most of it passes
};

enum class GapCause { weak_clamps, dirt, damage, warp, tight_dowel };
std::string_view name(GapCause cause);
struct RankedCause {
  GapCause cause;
  double weight;  // 0..1: how much of what was seen it explains
  std::string text;
};

struct PartingGap {
  std::optional<GapField> clamped, unclamped;  // absent without readings; told() says whether they suffice
  std::optional<Growth> growth;
  std::optional<AddedWeight> added;  // needs a design
  std::optional<Leak> leak;          // needs a design
  double grain_mm = 0;
  std::optional<SandEscape> sand;
  std::optional<bool> closes_under_clamp;  // the clamped opening stays within the limit
  std::vector<RankedCause> causes;         // most likely first; empty when nothing stands open
  Clamping clamps;
  ClosingVerdict verdict = ClosingVerdict::cannot_tell;
  std::vector<std::string> advice, notes;
};

// `footprint` of the box's design; null when there is none.
PartingGap parting_gap(const CoreBox& box, const CavityFootprint* footprint,
                       const PartingGapSettings& settings = {});

// Throws InputError naming the reading ("gap_reading[2].at_mm") that stands where this box has no parting
// face.
void refuse_readings_off_the_face(const CoreBox& box, const CavityFootprint* footprint,
                                  const std::string& file);

}  // namespace boxfettle
