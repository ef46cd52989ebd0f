#include "closing/fit.hpp"

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

ToleranceClass class_in(std::string_view text, bool hole) {
  const auto tolerance = tolerance_class_named(text);
  const std::string which = hole ? "the hole's class" : "the shaft's class";
  if (!tolerance)
    throw InputError(
        "FIT", which, "'" + std::string(text) + "' is no tolerance class of ISO 286",
        hole ? "write a capital letter and a grade, H7 say" : "write a small letter and a grade, g6 say");
  if (tolerance->hole() != hole)
    throw InputError("FIT", which, "'" + std::string(text) + "' has its letter in the wrong case",
                     "the hole comes first with a capital letter, then the shaft with a small one: H7/g6");
  return *tolerance;
}

SizeLimits given_limits(double size_mm, const ToleranceClass& tolerance) {
  const auto limits = limits_of(size_mm, tolerance);
  if (!limits)
    throw InputError("FIT", tolerance.text(), "is not given by ISO 286 for this size",
                     "choose a class that is, H7/g6 for a dowel say");
  return *limits;
}

FitKind kind_of(double least_um, double most_um) {
  if (least_um >= 0) return FitKind::clearance;
  return most_um <= 0 ? FitKind::interference : FitKind::transition;
}

}  // namespace

Fit fit_named(std::string_view text) {
  const std::size_t slash = text.find('/');
  if (slash == std::string_view::npos)
    throw InputError("FIT", "", "'" + std::string(text) + "' has no slash between hole and shaft",
                     "write H7/g6, say");
  return {class_in(text.substr(0, slash), true), class_in(text.substr(slash + 1), false)};
}

std::string_view name(FitKind kind) {
  switch (kind) {
    case FitKind::clearance:
      return "clearance";
    case FitKind::transition:
      return "transition";
    case FitKind::interference:
      break;
  }
  return "interference";
}

FitResult fit_result(double size_mm, const Fit& fit, const FitWarmth& warmth) {
  if (!(size_mm >= 1 && size_mm <= 500))
    throw InputError("SIZE_mm", "", "is outside 1 to 500 mm",
                     "these tables end at 500 mm; give the size in mm");
  FitResult result{};
  result.size_mm = size_mm;
  result.hole = given_limits(size_mm, fit.hole);
  result.shaft = given_limits(size_mm, fit.shaft);
  result.least_um = result.hole.lower_um - result.shaft.upper_um;
  result.most_um = result.hole.upper_um - result.shaft.lower_um;
  result.growth_um = 1000 * (thermal_growth_mm(size_mm, warmth.hole_material, warmth.hole_temperature_C) -
                             thermal_growth_mm(size_mm, warmth.shaft_material, warmth.shaft_temperature_C));
  result.warm_least_um = result.least_um + result.growth_um;
  result.warm_most_um = result.most_um + result.growth_um;
  result.kind = kind_of(result.warm_least_um, result.warm_most_um);
  return result;
}

}  // namespace boxfettle
