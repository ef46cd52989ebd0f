// What gauges gave, value by value, numbered in order of arrival. Not entries: there are too many, and no rule of the
// shop turns on one alone.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "shop/measurement.hpp"
#include "shop/requests.hpp"
#include "store/database.hpp"

namespace boxfettle {

// What is measured of a box, and how often it was.
struct Characteristic {
  std::string name;
  std::string unit;
  std::int64_t values = 0;  // struck out ones among them
  std::int64_t struck = 0;
  UtcTime last_at;
};

class StoredMeasurements {
 public:
  explicit StoredMeasurements(Database& database) : database_(database) {}

  // Sent again with the same request it adds nothing and answers what was kept then. Refused when the box's
  // characteristic stands in another unit, or when the request was used for another value. Throws InputError
  // for what may not be written at all.
  std::variant<NumberedMeasurement, Refusal> add(const Measurement& measurement);
  // In one commit, as `add` each; all or none: throws InputError for the first that is refused.
  void add(std::span<const Measurement> measurements);

  // Marks a value as wrong. Sent again with the same request it changes nothing. Refused when it is struck out
  // already, when there is no such value, or when the person may not. Throws InputError as `add`.
  std::variant<NumberedMeasurement, Refusal> strike(const Strike& strike);

  std::vector<Characteristic> of_box(std::string_view box);  // the one measured last first
  std::optional<Characteristic> characteristic(std::string_view box, std::string_view name);
  // The newest `most` in the order they were measured, oldest first, struck out ones among them.
  std::vector<NumberedMeasurement> newest(std::string_view box, std::string_view characteristic,
                                          std::size_t most);
  // The same of those that stand, value number `from` and those measured after it: the first, and the newest.
  std::vector<NumberedMeasurement> first_standing(std::string_view box, std::string_view characteristic,
                                                  std::int64_t from, std::size_t most);
  std::vector<NumberedMeasurement> newest_standing(std::string_view box, std::string_view characteristic,
                                                   std::int64_t from, std::size_t most);

 private:
  Database& database_;
};

}  // namespace boxfettle
