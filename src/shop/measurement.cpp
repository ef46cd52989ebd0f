#include "shop/measurement.hpp"

#include <algorithm>
#include <cmath>

#include "input/input_error.hpp"
#include "shop/text_check.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t box_bytes = 200, word_bytes = 80, why_bytes = 500;
constexpr double beyond_any_gauge = 1e12;

[[noreturn]] void wrong(const std::string& place, const std::string& what, const std::string& mend) {
  throw InputError("", place, what, mend);
}

std::string known_units() {
  std::string text;
  for (const std::string_view unit : measurement_units) text.append(text.empty() ? "" : ", ").append(unit);
  return text;
}

void check_request(const std::string& request) {
  if (request.size() < 8 || request.size() > 64)
    wrong("request", "is not 8 to 64 characters long", "make up a longer random text");
  check_text(request, "request", 64, Empty::refused, Lines::one);
}

}  // namespace

void check_measurement(const Measurement& measurement) {
  check_request(measurement.request);
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
  if (measurement.arrived < measurement.at)
    wrong("at", "is later than it arrived", "give the time when it was measured");
}

void check_strike(const Strike& strike) {
  check_request(strike.request);
  check_text(strike.why, "why", why_bytes, Empty::refused, Lines::one);
}

std::optional<Refusal> may_not_strike(const Person& person, const NumberedMeasurement& measurement) {
  const bool answers =
      person.role == Role::supervisor || person.role == Role::quality || person.role == Role::tooling;
  if (answers || person.name == measurement.measurement.who) return std::nullopt;
  return Refusal{"This value was entered by " + measurement.measurement.who + ".",
                 "Ask " + measurement.measurement.who +
                     ", a supervisor, a quality engineer or a tooling engineer to strike it out."};
}

}  // namespace boxfettle
