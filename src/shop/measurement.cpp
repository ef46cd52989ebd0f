#include "shop/measurement.hpp"

#include <algorithm>
#include <cmath>

#include "input/input_error.hpp"
#include "shop/text_check.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t box_bytes = 200, word_bytes = 80;
constexpr double beyond_any_gauge = 1e12;

[[noreturn]] void wrong(const std::string& place, const std::string& what, const std::string& mend) {
  throw InputError("", place, what, mend);
}

std::string known_units() {
  std::string text;
  for (const std::string_view unit : measurement_units) text.append(text.empty() ? "" : ", ").append(unit);
  return text;
}

}  // namespace

void check_measurement(const Measurement& measurement) {
  if (measurement.request.size() < 8 || measurement.request.size() > 64)
    wrong("request", "is not 8 to 64 characters long", "make up a longer random text");
  check_text(measurement.request, "request", 64, Empty::refused, Lines::one);
  check_text(measurement.box, "box", box_bytes, Empty::refused, Lines::one);
  check_text(measurement.characteristic, "of", word_bytes, Empty::refused, Lines::one);
  if (measurement.characteristic.front() == ' ' || measurement.characteristic.back() == ' ')
    wrong("of", "begins or ends with a space", "leave the space out");
  if (std::ranges::find(measurement_units, measurement.unit) == measurement_units.end())
    wrong("unit", "is none of " + known_units(), "choose one of them");
  check_text(measurement.who, "who", box_bytes, Empty::refused, Lines::one);
  check_text(measurement.run, "run", word_bytes, Empty::allowed, Lines::one);
  if (!std::isfinite(measurement.value) || std::abs(measurement.value) > beyond_any_gauge)
    wrong("value", "is no value that a gauge can show", "read the gauge again");
}

}  // namespace boxfettle
