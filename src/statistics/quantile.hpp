// Quantiles of values as they are, by linear interpolation between neighbours (R. J. Hyndman and Y. Fan,
// "Sample Quantiles in Statistical Packages", Am. Stat. 50 (1996), definition 7).
#pragma once

#include <cstddef>
#include <span>

namespace boxfettle {

// Of values in rising order, at least one; `share` from 0 to 1.
inline double quantile(std::span<const double> sorted, double share) {
  const double place = share * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(place);
  if (below + 1 >= sorted.size()) return sorted.back();
  return sorted[below] + (place - static_cast<double>(below)) * (sorted[below + 1] - sorted[below]);
}

}  // namespace boxfettle
