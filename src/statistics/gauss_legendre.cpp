#include "statistics/gauss_legendre.hpp"

#include <cmath>
#include <numbers>

namespace boxfettle {
namespace {

struct Legendre {
  double value, slope;
};

// P_n and its derivative by the three-term recurrence.
Legendre legendre(std::size_t n, double x) {
  double before = 1, now = x;
  for (std::size_t k = 2; k <= n; ++k) {
    const auto order = static_cast<double>(k);
    const double next = ((2 * order - 1) * x * now - (order - 1) * before) / order;
    before = now;
    now = next;
  }
  return {now, static_cast<double>(n) * (x * now - before) / (x * x - 1)};
}

}  // namespace

std::vector<QuadraturePoint> gauss_legendre(std::size_t points, double low, double high) {
  std::vector<QuadraturePoint> rule(points);
  const double middle = 0.5 * (low + high), half = 0.5 * (high - low);
  for (std::size_t i = 0; i < points; ++i) {
    double x =
        std::cos(std::numbers::pi * (static_cast<double>(i) + 0.75) / (static_cast<double>(points) + 0.5));
    Legendre at = legendre(points, x);
    for (int step = 0; step < 100 && std::abs(at.value) > 1e-15 * std::abs(at.slope); ++step) {
      x -= at.value / at.slope;
      at = legendre(points, x);
    }
    rule[points - 1 - i] = {middle + half * x, 2 * half / ((1 - x * x) * at.slope * at.slope)};
  }
  return rule;
}

}  // namespace boxfettle
