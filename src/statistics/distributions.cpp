#include "statistics/distributions.hpp"

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/poisson.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <numbers>

namespace boxfettle {

namespace bm = boost::math;

double normal_density(double z) {
  return std::exp(-0.5 * z * z) / std::sqrt(2 * std::numbers::pi);
}
double normal_cdf(double z) {
  return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}
double normal_quantile(double p) {
  return bm::quantile(bm::normal(), p);
}

double chi_squared_cdf(double x, double degrees) {
  return x <= 0 ? 0 : bm::cdf(bm::chi_squared(degrees), x);
}
double chi_squared_quantile(double p, double degrees) {
  return bm::quantile(bm::chi_squared(degrees), p);
}
double t_quantile(double p, double degrees) {
  return bm::quantile(bm::students_t(degrees), p);
}
double t_upper_tail(double t, double degrees) {
  return bm::cdf(bm::complement(bm::students_t(degrees), t));
}
double noncentral_t_quantile(double p, double degrees, double noncentrality) {
  return bm::quantile(bm::non_central_t(degrees, noncentrality), p);
}
double f_upper_tail(double x, double upper_degrees, double lower_degrees) {
  return bm::cdf(bm::complement(bm::fisher_f(upper_degrees, lower_degrees), x));
}
double beta_quantile(double p, double a, double b) {
  return bm::quantile(bm::beta_distribution<>(a, b), p);
}

double binomial_cdf(double k, double n, double p) {
  if (k < 0) return 0;
  return k >= n ? 1 : bm::cdf(bm::binomial(n, p), std::floor(k));
}
double binomial_probability(double k, double n, double p) {
  return bm::pdf(bm::binomial(n, p), k);
}
double poisson_cdf(double k, double mean) {
  if (k < 0) return 0;
  return mean <= 0 ? 1 : bm::cdf(bm::poisson(mean), std::floor(k));
}

}  // namespace boxfettle
