#include "statistics/first_pieces.hpp"

#include <algorithm>
#include <cmath>

#include "statistics/distributions.hpp"
#include "statistics/gauss_legendre.hpp"

namespace boxfettle {
namespace {

double upper_bound(std::size_t checked, std::size_t bad, double tail) {
  if (bad >= checked) return 1;
  return beta_quantile(1 - tail, static_cast<double>(bad) + 1, static_cast<double>(checked - bad));
}

// Share of a standard normal within r about a centre that is off by z.
double held(double z, double r) {
  return normal_cdf(z + r) - normal_cdf(z - r);
}

// The r for which exactly `share` is held.
double half_width(double z, double share) {
  double low = 0, high = std::abs(z) + 40;
  for (int step = 0; step < 100 && high - low > 1e-13; ++step) {
    const double middle = 0.5 * (low + high);
    (held(z, middle) < share ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

// Chance that mean +- factor sd holds `share`, over where the mean of `count` may lie.
class TwoSidedChance {
 public:
  TwoSidedChance(double count, double share) : degrees_(count - 1) {
    for (const QuadraturePoint& point : gauss_legendre(60, 0, 8)) {
      const double weight = 2 * point.weight * normal_density(point.at);
      const double r = half_width(point.at / std::sqrt(count), share);
      points_.push_back({r * r * degrees_, weight});
    }
  }
  double operator()(double factor) const {
    double chance = 0;
    for (const QuadraturePoint& one : points_)
      chance += one.weight * (1 - chi_squared_cdf(one.at / (factor * factor), degrees_));
    return chance;
  }

 private:
  double degrees_;
  std::vector<QuadraturePoint> points_;  // at: squared half-width times the degrees of freedom
};

}  // namespace

Estimate clopper_pearson(std::size_t checked, std::size_t bad, double confidence) {
  const double tail = 0.5 * (1 - confidence);
  const double low =
      bad == 0 ? 0 : beta_quantile(tail, static_cast<double>(bad), static_cast<double>(checked - bad) + 1);
  return {static_cast<double>(bad) / static_cast<double>(checked), low, upper_bound(checked, bad, tail)};
}

double at_most_bad(std::size_t checked, std::size_t bad, double confidence) {
  return upper_bound(checked, bad, 1 - confidence);
}

std::size_t pieces_needed(double fraction, std::size_t bad, double confidence) {
  std::size_t low = bad, high = bad + 1;
  const auto enough = [&](std::size_t checked) { return at_most_bad(checked, bad, confidence) <= fraction; };
  while (!enough(high)) {
    low = high;
    high *= 2;
  }
  while (high - low > 1) {
    const std::size_t middle = low + (high - low) / 2;
    (enough(middle) ? high : low) = middle;
  }
  return high;
}

ToleranceFactors tolerance_factors(std::size_t count, double share, double confidence) {
  const auto n = static_cast<double>(count);
  const double one_sided =
      noncentral_t_quantile(confidence, n - 1, normal_quantile(share) * std::sqrt(n)) / std::sqrt(n);
  const TwoSidedChance chance(n, share);
  double low = 0, high = 2;
  while (chance(high) < confidence) high *= 2;
  for (int step = 0; step < 100 && high - low > 1e-12 * high; ++step) {
    const double middle = 0.5 * (low + high);
    (chance(middle) < confidence ? low : high) = middle;
  }
  return {0.5 * (low + high), one_sided};
}

}  // namespace boxfettle
