// What range and standard deviation of a small normal sample are on the average, in sigmas: the constants of
// control charts, computed from their definitions.
#pragma once

namespace boxfettle {

inline constexpr int largest_range_subgroup = 25;  // beyond, a range tells little: use standard deviations

// Of the range W of n values: d2 = E[W], d3 = sd[W]. n from 2 to 25.
// L. H. C. Tippett, "On the Extreme Individuals and the Range of Samples ...", Biometrika 17 (1925).
struct RangeConstants {
  double d2, d3;
  double lower_factor() const;  // D3 = max(0, 1 - 3 d3/d2): limits of a range chart about the mean range
  double upper_factor() const;  // D4
};
RangeConstants range_constants(int n);

// Of the standard deviation s of n values: c4 = E[s] = sqrt(2/(n-1)) gamma(n/2)/gamma((n-1)/2). n >= 2.
struct DeviationConstants {
  double c4;
  double lower_factor() const;  // B3 = max(0, 1 - 3 sqrt(1 - c4^2)/c4)
  double upper_factor() const;  // B4
};
DeviationConstants deviation_constants(int n);

}  // namespace boxfettle
