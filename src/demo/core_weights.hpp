// What the invented shop's gauges gave: core weights and a print's diameter, one series with a known step and
// one that drifts.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "shop/measurement.hpp"
#include "shop/utc_time.hpp"

namespace boxfettle::demo {

struct MeasuredSeries {
  std::string_view box;
  std::string_view characteristic;
  std::string_view unit;
  std::uint64_t stream;  // of the random numbers
  std::int64_t values;
  double usual, scatter;                 // mean and standard deviation of a single value
  double steps_per_unit;                 // of the gauge: 2 shows halves of a gram
  std::optional<std::int64_t> moved_at;  // number of the first value after a step
  double moved_by = 0;
  double drift_per_value = 0;  // over the last 40 values
  bool running = false;        // measured since this morning, else until two days ago
};

std::span<const MeasuredSeries> measured_series();

std::string in_words(const MeasuredSeries& series);  // what is known of it, one line

// Deterministic but for the times, which end at `now`. In order of time.
std::vector<Measurement> measurements_of(const MeasuredSeries& series, UtcTime now);

}  // namespace boxfettle::demo
