// A box's dowels weighed against its mismatch limit: what they allow, what is likely, what to do.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "closing/closing_verdict.hpp"
#include "closing/dowel_play.hpp"
#include "closing/dowel_renewal.hpp"
#include "closing/likely_shift.hpp"
#include "closing/thermal_growth.hpp"
#include "corebox/core_box.hpp"

namespace boxfettle {

struct DowelCheckSettings {
  LikelyShiftSettings likely;
  RenewalSettings renewal;
  double wear_step_mm = 0.05;  // of one pin's diameter, to see what its wear alone does
  bool look_for_renewals = true;
  double lower_temperature_C = measuring_temperature_C;  // sizes and places in the box file hold at 20 degC
  double upper_temperature_C = measuring_temperature_C;
};

struct WatchedShift {
  std::string id;
  WorstShift worst;
};

struct WearEffect {
  std::string id;
  double clearance_mm;   // of the diameters
  double worst_rise_mm;  // of the worst shift, when this pin alone loses wear_step_mm
};

struct DowelCheck {
  explicit DowelCheck(DowelPlay of) : play(std::move(of)) {}

  DowelPlay play;
  std::optional<WorstShift> worst;  // over outline and watch points
  bool outline_seen = false;        // else the watch points and dowels alone stand for the cavity
  std::vector<WatchedShift> watched;
  std::optional<LikelyShift> likely, likely_pushed;  // at the worst place
  std::vector<WearEffect> wear;
  std::optional<Renewal> renewal;
  std::optional<PitchBind>
      pitch;  // between the two dowels farthest apart, when the halves are not both at 20 degC
  double limit_mm = 0;
  ClosingVerdict verdict = ClosingVerdict::cannot_tell;
  std::vector<std::string> advice, notes;
};

// The box with every pin and bush at its nominal size and the loosest that a fit allows: what new ones would
// give. Throws InputError when the fit is not given for a size.
CoreBox with_new_fit(CoreBox box, const Fit& fit);

// `outline_mm`: the cavity's outline in the parting face; may be empty. Throws InputError (file "dowels")
// when the box has no dowel.
DowelCheck dowel_check(const CoreBox& box, std::span<const Eigen::Vector2d> outline_mm,
                       const DowelCheckSettings& settings = {});

}  // namespace boxfettle
