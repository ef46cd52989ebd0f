// A fit such as H7/g6: how a pin sits in its bush.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "closing/thermal_growth.hpp"
#include "closing/tolerance_class.hpp"
#include "corebox/core_box.hpp"

namespace boxfettle {

struct Fit {
  ToleranceClass hole, shaft;
  std::string text() const { return hole.text() + "/" + shaft.text(); }
};

// "H7/g6", the hole first. Throws InputError (file "FIT") naming what is wrong.
Fit fit_named(std::string_view text);

// What is known of the two parts when they are not at 20 degC.
struct FitWarmth {
  double hole_temperature_C = measuring_temperature_C;
  double shaft_temperature_C = measuring_temperature_C;
  BoxMaterial hole_material = BoxMaterial::steel;
  BoxMaterial shaft_material = BoxMaterial::steel;
};

enum class FitKind { clearance, transition, interference };
std::string_view name(FitKind kind);

struct FitResult {
  double size_mm;
  SizeLimits hole, shaft;    // at 20 degC
  double least_um, most_um;  // clearance at 20 degC; negative is interference
  double growth_um;          // what the temperatures add to the clearance
  double warm_least_um, warm_most_um;
  FitKind kind;  // by the warm clearance
};

// Throws InputError (file "SIZE_mm" or "FIT"): size outside 1 to 500 mm, or a class that the standard does
// not give for that size.
FitResult fit_result(double size_mm, const Fit& fit, const FitWarmth& warmth = {});

}  // namespace boxfettle
