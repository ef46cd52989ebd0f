#include "statistics/control_constants.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <vector>

#include "statistics/distributions.hpp"
#include "statistics/gauss_legendre.hpp"

namespace boxfettle {
namespace {

constexpr double reach = 9;  // sigmas: beyond, a normal value is rarer than 1e-18
constexpr std::size_t range_points = 160;
constexpr int value_steps = 144;  // the trapezoid rule on a bell is exact to rounding with these
using Table = std::array<RangeConstants, largest_range_subgroup + 1>;

// P(W <= w) of n = 2..25 values: n times the integral of phi(x) (Phi(x + w) - Phi(x))^(n-1).
std::array<double, largest_range_subgroup + 1> range_cdfs(double w) {
  std::array<double, largest_range_subgroup + 1> cdf{};
  const double step = 2 * reach / value_steps;
  for (int i = 0; i <= value_steps; ++i) {
    const double x = -reach + step * i;
    const double inside = normal_cdf(x + w) - normal_cdf(x);
    double term = normal_density(x) * step;
    for (int n = 2; n <= largest_range_subgroup; ++n) cdf[n] += n * (term *= inside);
  }
  return cdf;
}

// E[W] is the integral of P(W > w), E[W^2] that of 2 w P(W > w).
Table integrated() {
  std::array<double, largest_range_subgroup + 1> mean{}, square{};
  for (const QuadraturePoint& point : gauss_legendre(range_points, 0, 2 * reach)) {
    const auto cdf = range_cdfs(point.at);
    for (int n = 2; n <= largest_range_subgroup; ++n) {
      mean[n] += point.weight * (1 - cdf[n]);
      square[n] += point.weight * 2 * point.at * (1 - cdf[n]);
    }
  }
  Table table{};
  for (int n = 2; n <= largest_range_subgroup; ++n)
    table[n] = {mean[n], std::sqrt(square[n] - mean[n] * mean[n])};
  return table;
}

}  // namespace

double RangeConstants::lower_factor() const {
  return std::max(0.0, 1 - 3 * d3 / d2);
}
double RangeConstants::upper_factor() const {
  return 1 + 3 * d3 / d2;
}

RangeConstants range_constants(int n) {
  static const Table table = integrated();
  if (n < 2 || n > largest_range_subgroup) throw std::out_of_range("a range of fewer than 2 or more than 25");
  return table[static_cast<std::size_t>(n)];
}

double DeviationConstants::lower_factor() const {
  return std::max(0.0, 1 - 3 * std::sqrt(1 - c4 * c4) / c4);
}
double DeviationConstants::upper_factor() const {
  return 1 + 3 * std::sqrt(1 - c4 * c4) / c4;
}

DeviationConstants deviation_constants(int n) {
  if (n < 2) throw std::out_of_range("a standard deviation of fewer than 2");
  const double degrees = n - 1;
  return {std::sqrt(2 / degrees) * std::exp(std::lgamma(0.5 * n) - std::lgamma(0.5 * degrees))};
}

}  // namespace boxfettle
