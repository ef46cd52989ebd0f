// The chart of what gauges gave for one box, as the values arrive.
#pragma once

#include <cstddef>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "store/stored_measurements.hpp"

namespace boxfettle {

struct MeasuredChartAsked {
  std::int64_t from = 1;                // the first value that counts: after a repair, the first one since
  std::size_t baseline = 25;            // limits from so many values, `from` the first (common practice)
  std::optional<double> centre, sigma;  // given instead, in the values' unit; sigma of a single value
  std::size_t last = 150;               // points told, the newest
};

// As `boxfettle chart --kind i-mr --json` prints it, with drift among its rules; points in the order they were
// measured, those struck out left out; a point's label is its number among all values. Beside it "of", "unit",
// "values" (how many there are), "struck" (how many of them) and "baseline" {first, last, given}. Throws InputError for values no chart can be drawn of: too few, no scatter, none from `from` on.
nlohmann::ordered_json measured_chart_json(StoredMeasurements& kept, const std::string& box,
                                           const Characteristic& measured, const MeasuredChartAsked& asked);

}  // namespace boxfettle
