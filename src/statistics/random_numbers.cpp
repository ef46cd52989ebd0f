#include "statistics/random_numbers.hpp"

#include <cmath>
#include <numbers>

namespace boxfettle {

// S. Vigna's splitmix64: one addition and a mix.
std::uint64_t RandomNumbers::next() {
  std::uint64_t z = state_ += 0x9e3779b97f4a7c15u;
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return z ^ (z >> 31);
}

double RandomNumbers::uniform() {
  return (static_cast<double>(next() >> 11) + 0.5) * 0x1p-53;
}

// G. E. P. Box and M. E. Muller, "A Note on the Generation of Random Normal Deviates" (1958).
double RandomNumbers::normal() {
  const double radius = std::sqrt(-2 * std::log(uniform()));
  return radius * std::cos(2 * std::numbers::pi * uniform());
}

// Twice a gamma variable: G. Marsaglia and W. W. Tsang, "A Simple Method for Generating Gamma Variables",
// ACM TOMS 26 (2000); with the step for shapes below one.
double RandomNumbers::chi_squared(double degrees) {
  const double shape = 0.5 * degrees;
  if (shape < 1) return chi_squared(degrees + 2) * std::pow(uniform(), 1 / shape);
  const double d = shape - 1.0 / 3, c = 1 / std::sqrt(9 * d);
  for (;;) {
    const double x = normal(), v = std::pow(1 + c * x, 3);
    if (v > 0 && std::log(uniform()) < 0.5 * x * x + d - d * v + d * std::log(v)) return 2 * d * v;
  }
}

}  // namespace boxfettle
