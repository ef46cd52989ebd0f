// One value that a gauge gave for a core or a box: 'core weight', 412.3 g.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "shop/utc_time.hpp"

namespace boxfettle {

// Units a value may stand in. A characteristic of a box keeps the unit of its first value.
inline constexpr std::array<std::string_view, 7> measurement_units{"g",     "kg",   "mm", "N",
                                                                   "N/cm2", "degC", "%"};

struct Measurement {
  std::string request;         // 8 to 64 characters, made up by the sender: sent again it changes nothing
  std::string box;             // TM-0412
  std::string characteristic;  // "core weight"
  std::string unit;            // one of measurement_units
  UtcTime at;
  std::string who;
  double value = 0;
  std::string run;  // the run or batch it belongs to; may be empty
};

// A measurement with its place among all of its box and characteristic, counted from 1 in order of arrival.
struct NumberedMeasurement {
  std::int64_t number = 0;
  Measurement measurement;
};

// Throws InputError (place names the field): text too long or empty, an unknown unit, a value that is not
// finite or beyond 1e12 either way, which no gauge shows.
void check_measurement(const Measurement& measurement);

}  // namespace boxfettle
