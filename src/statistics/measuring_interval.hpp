// How many shots may go by before a box is measured again, so that the chance to be past its limit by then
// stays below an accepted risk.
#pragma once

#include <optional>

#include "statistics/wear.hpp"

namespace boxfettle {

struct IntervalSettings {
  double risk = 0.05;  // accepted chance to be past the limit at the next measurement
  std::optional<double> monthly_shots = std::nullopt;  // what the box is asked to make
  // Never further ahead than the readings reach back, times this: lines are trusted no longer than they were
  // seen.
  double ahead_of_seen = 2;
  double ahead_when_few = 1;  // while there are few readings
  double few_degrees = 4;     // fewer readings beyond those that the lines need are few
  double few_months = 6;      // and no longer than this, when the monthly shots are known
};

// Core boxes are commonly measured every six to twelve months, whatever they make (common practice).
inline constexpr double practice_months_low = 6, practice_months_high = 12;

enum class IntervalReason {
  wear,       // the limit comes near: the risk decides
  seen_span,  // the readings reach back no further
  few_data,   // too few readings to look further ahead
  due_now,    // the risk is exceeded today
};

struct MeasuringInterval {
  double shots = 0;              // whole, two digits, rounded down
  std::optional<double> months;  // at the monthly shots
  IntervalReason reason = IntervalReason::wear;
  double by_wear_alone = 0;  // before any cap; infinite when wear never gets there
  bool few = false;
};

MeasuringInterval measuring_interval(const Wear& wear, const IntervalSettings& settings = {});

}  // namespace boxfettle
