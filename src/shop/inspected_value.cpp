#include "shop/inspected_value.hpp"

#include <cstdio>

namespace boxfettle {
namespace {

std::string with_unit(double value, const std::string& unit) {
  char text[32];
  std::snprintf(text, sizeof text, "%.4g", value);
  return unit.empty() ? text : std::string(text) + " " + unit;
}

double limit_of(AllowedValue::Of of, const BoxRegistered::Limits& limits) {
  switch (of) {
    case AllowedValue::Of::number:
      return 1;
    case AllowedValue::Of::surface:
      return limits.surface_mm;
    case AllowedValue::Of::mismatch:
      return limits.mismatch_mm;
    case AllowedValue::Of::gap:
      return limits.gap_mm;
  }
  return 1;
}

}  // namespace

ValueBounds bounds_of(const AllowedValue& allowed, const BoxRegistered::Limits& limits) {
  ValueBounds bounds{allowed.at_least, allowed.at_most};
  if (bounds.highest) *bounds.highest *= limit_of(allowed.at_most_of, limits);
  return bounds;
}

std::string beyond_bounds(const Checkpoint& point, const BoxRegistered::Limits& limits,
                          const CheckpointResult& result) {
  if (!result.measured) return {};
  const ValueBounds bounds = bounds_of(point.allowed, limits);
  const std::string value = with_unit(*result.measured, point.unit);
  if (bounds.highest && *result.measured > *bounds.highest)
    return value + " is more than the " + with_unit(*bounds.highest, point.unit) + " that '" + point.title +
           "' allows.";
  if (bounds.lowest && *result.measured < *bounds.lowest)
    return value + " is less than the " + with_unit(*bounds.lowest, point.unit) + " that '" + point.title +
           "' allows.";
  return {};
}

}  // namespace boxfettle
