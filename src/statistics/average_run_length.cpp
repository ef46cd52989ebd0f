#include "statistics/average_run_length.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <array>
#include <cmath>

#include "statistics/distributions.hpp"
#include "statistics/gauss_legendre.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t quadrature_points = 64;  // a narrow kernel (lambda 0.05) still gets ten digits

}  // namespace

// L(z) = 1 + integral over the limits of L(y) phi((y - (1 - lambda) z)/lambda - shift)/lambda dy.
double ewma_run_length(double lambda, double width, double shift) {
  const double limit = width * std::sqrt(lambda / (2 - lambda));
  // The kernel is lambda wide: enough points that its neighbours stand well inside it.
  const auto points = std::max(quadrature_points, static_cast<std::size_t>(8 * limit / lambda));
  const auto rule = gauss_legendre(std::min<std::size_t>(points, 512), -limit, limit);
  const auto n = static_cast<Eigen::Index>(rule.size());
  const auto chance = [&](double from, const QuadraturePoint& to) {
    return to.weight * normal_density((to.at - (1 - lambda) * from) / lambda - shift) / lambda;
  };
  Eigen::MatrixXd system = Eigen::MatrixXd::Identity(n, n);
  for (Eigen::Index i = 0; i < n; ++i)
    for (Eigen::Index j = 0; j < n; ++j)
      system(i, j) -= chance(rule[static_cast<std::size_t>(i)].at, rule[static_cast<std::size_t>(j)]);
  const Eigen::VectorXd lengths = system.partialPivLu().solve(Eigen::VectorXd::Ones(n));
  double length = 1;
  for (Eigen::Index j = 0; j < n; ++j) length += lengths(j) * chance(0, rule[static_cast<std::size_t>(j)]);
  return length;
}

namespace {

// L(z) = 1 + L(0) Phi(k - z - shift) + integral from 0 to h of L(y) phi(y - z + k - shift) dy; unknown 0 is
// the sum at rest on zero.
double one_sided_cusum_run_length(double k, double h, double shift) {
  const auto points = std::max(quadrature_points, static_cast<std::size_t>(8 * h));
  const auto rule = gauss_legendre(std::min<std::size_t>(points, 512), 0, h);
  const auto n = static_cast<Eigen::Index>(rule.size());
  Eigen::MatrixXd system = Eigen::MatrixXd::Identity(n + 1, n + 1);
  for (Eigen::Index i = 0; i <= n; ++i) {
    const double from = i == 0 ? 0 : rule[static_cast<std::size_t>(i - 1)].at;
    system(i, 0) -= normal_cdf(k - from - shift);
    for (Eigen::Index j = 0; j < n; ++j) {
      const QuadraturePoint& to = rule[static_cast<std::size_t>(j)];
      system(i, j + 1) -= to.weight * normal_density(to.at - from + k - shift);
    }
  }
  return system.partialPivLu().solve(Eigen::VectorXd::Ones(n + 1))(0);
}

std::optional<double> from_chance(double outside) {
  if (!(outside > 1e-300)) return std::nullopt;
  return 1 / outside;
}

// Chance that a count lies strictly above `upper` or strictly below `lower`.
template <typename Cdf>
double chance_outside(const Cdf& cdf, double lower, double upper) {
  return (1 - cdf(std::floor(upper + 1e-9))) + cdf(std::ceil(lower - 1e-9) - 1);
}

}  // namespace

double cusum_run_length(double k, double h, double shift) {
  return 1 / (1 / one_sided_cusum_run_length(k, h, shift) + 1 / one_sided_cusum_run_length(k, h, -shift));
}

std::optional<double> p_run_length(double checked, double centre, double actual) {
  const double reach = 3 * std::sqrt(checked * centre * (1 - centre));
  const auto cdf = [&](double k) { return binomial_cdf(k, checked, std::clamp(actual, 0.0, 1.0)); };
  return from_chance(chance_outside(cdf, std::max(checked * centre - reach, 0.0), checked * centre + reach));
}

std::optional<double> c_run_length(double centre, double actual) {
  const double reach = 3 * std::sqrt(centre);
  const auto cdf = [&](double k) { return poisson_cdf(k, std::max(actual, 0.0)); };
  return from_chance(chance_outside(cdf, std::max(centre - reach, 0.0), centre + reach));
}

}  // namespace boxfettle
