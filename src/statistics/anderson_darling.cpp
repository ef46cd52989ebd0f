#include "statistics/anderson_darling.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "statistics/moments.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t fewest_values = 8;

// log Phi(z), also far out where Phi is smaller than any double.
double log_normal_cdf(double z) {
  if (z > -30) return std::log(0.5 * std::erfc(-z / std::numbers::sqrt2));
  return -0.5 * z * z - std::log(-z * std::sqrt(2 * std::numbers::pi));
}

double p_value(double corrected) {
  const double a = corrected;
  if (a >= 0.6) return std::exp(std::min(1.2937 - 5.709 * a + 0.0186 * a * a, 0.0));
  if (a >= 0.34) return std::exp(0.9177 - 4.279 * a - 1.38 * a * a);
  if (a >= 0.2) return 1 - std::exp(-8.318 + 42.796 * a - 59.938 * a * a);
  return 1 - std::exp(-13.436 + 101.14 * a - 223.73 * a * a);
}

}  // namespace

std::optional<NormalityCheck> anderson_darling(std::span<const double> values) {
  const Moments moments(values);
  if (values.size() < fewest_values || !(*moments.sd() > 1e-13 * std::abs(moments.mean())))
    return std::nullopt;
  std::vector<double> sorted(values.begin(), values.end());
  std::ranges::sort(sorted);
  const auto n = static_cast<double>(sorted.size());
  double sum = 0;
  for (std::size_t i = 0; i < sorted.size(); ++i) {
    const double low = (sorted[i] - moments.mean()) / *moments.sd();
    const double high = (sorted[sorted.size() - 1 - i] - moments.mean()) / *moments.sd();
    sum += (2 * static_cast<double>(i) + 1) * (log_normal_cdf(low) + log_normal_cdf(-high));
  }
  const double a_squared = -n - sum / n;
  // The quadratic of the first branch turns up again far out; nothing that far is normal anyway.
  const double corrected = std::min(a_squared * (1 + 0.75 / n + 2.25 / (n * n)), 150.0);
  return NormalityCheck{a_squared, p_value(corrected)};
}

}  // namespace boxfettle
