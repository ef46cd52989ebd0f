// One value that a gauge gave for a core or a box: 'core weight', 412.3 g.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "shop/requests.hpp"
#include "shop/role.hpp"
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
  UtcTime at;                  // when it was measured
  UtcTime arrived = {};        // when it reached the record: later when the network was away
  std::string who;
  double value = 0;
  std::string run;  // the run or batch it belongs to; may be empty
};

// A wrong value stays in the record with who struck it out and why; no chart counts it.
struct Struck {
  UtcTime at;
  std::string who;
  std::string why;
};

// A measurement with its place among all of its box and characteristic, counted from 1 in order of arrival.
struct NumberedMeasurement {
  std::int64_t number = 0;
  Measurement measurement;
  std::optional<Struck> struck{};
};

struct Strike {
  std::string request;  // as of a measurement
  std::string box;
  std::string characteristic;
  std::int64_t number = 0;
  UtcTime at;
  Person person;
  std::string why;
};

// Throws InputError (place names the field): text too long or empty, an unknown unit, a value that is not
// finite or beyond 1e12 either way, which no gauge shows, a time after its arrival.
void check_measurement(const Measurement& measurement);
void check_strike(const Strike& strike);

// One's own slip of the finger may be struck out by anybody; another's value by whoever answers for figures.
std::optional<Refusal> may_not_strike(const Person& person, const NumberedMeasurement& measurement);

}  // namespace boxfettle
