// Do the values look normal? The question that stands before every capability figure.
#pragma once

#include <optional>
#include <span>

namespace boxfettle {

struct NormalityCheck {
  double a_squared;  // with mean and standard deviation taken from the values, not yet corrected for n
  double p_value;    // how often normal values would look as far from normal as these
};

// T. W. Anderson and D. A. Darling; correction for n and p values: R. B. D'Agostino and M. A. Stephens,
// "Goodness-of-Fit Techniques" (1986), table 4.9. Empty for fewer than 8 values or values without scatter.
std::optional<NormalityCheck> anderson_darling(std::span<const double> values);

}  // namespace boxfettle
