#include "statistics/weibull_life.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "input/input_error.hpp"
#include "statistics/distributions.hpp"
#include "statistics/weibull_likelihood.hpp"

namespace boxfettle {
namespace {

void check(std::span<const LifeRecord> records) {
  for (std::size_t i = 0; i < records.size(); ++i) {
    const LifeRecord& one = records[i];
    const std::string place = "record " + std::to_string(i + 1);
    if (one.low < 0 || (one.low <= 0 && (!one.high || *one.high <= 0)))
      throw InputError("", place, "a life is not above zero", "leave parts out that were never used");
    if (one.high && *one.high < one.low)
      throw InputError("", place, "failed before it was last seen sound", "exchange the two times");
  }
}

// All failures at one time and nothing that lived longer: ever steeper curves fit ever better.
bool told(std::span<const LifeRecord> records) {
  double first = std::numeric_limits<double>::infinity(), last = 0, longest = 0;
  bool any = false;
  for (const LifeRecord& one : records) {
    longest = std::max(longest, one.low);
    if (!one.failed()) continue;
    any = true;
    first = std::min(first, *one.high);
    last = std::max(last, one.low);
  }
  return any && (first < last || longest > first);
}

// A start near enough: the logs of the times as a sample of the smallest extreme value's distribution.
WeibullPoint start(std::span<const LifeRecord> records) {
  double sum = 0, squares = 0, n = 0, failures = 0;
  for (const LifeRecord& one : records) {
    const double at = std::log(one.high ? 0.5 * (one.low + *one.high) : one.low);
    sum += at;
    squares += at * at;
    n += 1;
    failures += one.failed();
  }
  const double sd = std::sqrt(std::max(squares / n - sum * sum / n / n, 1e-4));
  const double shape = std::clamp(1.28 / sd, 0.2, 20.0);
  // The scale at which as many would have failed as did, by the exponential's count.
  return {sum / n + 0.45 * sd + std::log(n / failures) / shape, std::log(shape)};
}

}  // namespace

double WeibullLife::reliability(double t) const {
  return std::exp(-std::pow(t / scale, shape));
}
double WeibullLife::quantile(double share_failed) const {
  return scale * std::pow(-std::log1p(-share_failed), 1 / shape);
}
double WeibullLife::mean() const {
  return scale * std::tgamma(1 + 1 / shape);
}
std::optional<double> WeibullLife::unbiased_shape() const {
  if (failures < 3) return std::nullopt;
  const auto r = static_cast<double>(failures);
  return shape * (r - 2) / (r - 0.68);
}

std::optional<WeibullLife> weibull_life(std::span<const LifeRecord> records) {
  check(records);
  if (!told(records)) return std::nullopt;
  const WeibullLikelihood likelihood(records);
  const auto best = likelihood.highest(start(records));
  if (!best) return std::nullopt;
  WeibullLife life;
  life.scale = std::exp(best->at.log_scale);
  life.shape = std::exp(best->at.log_shape);
  life.log_likelihood = best->value;
  life.iterations = best->iterations;
  life.records = records.size();
  life.failures = static_cast<std::size_t>(std::ranges::count_if(records, &LifeRecord::failed));
  return life;
}

namespace {

// Walks from the best point outwards until the profile has fallen by `drop`, then halves the last step.
std::optional<double> where_it_falls(const auto& profile, double best_at, double highest, double drop,
                                     double step) {
  double near = best_at, far = best_at;
  for (int out = 0;; ++out) {
    if (out == 40) return std::nullopt;
    far = near + step;
    const std::optional<double> value = profile(far);
    if (!value) return std::nullopt;
    if (highest - *value > drop) break;
    near = far;
    step *= 1.6;
  }
  double off_near = highest - profile(near).value_or(highest) - drop;
  double off_far = highest - profile(far).value_or(-1e300) - drop;
  for (int round = 0; round < 60 && std::abs(far - near) > 1e-9 * (1 + std::abs(far)); ++round) {
    // The profile is nearly a parabola: regula falsi on its root, with a halving now and then.
    const double share = round % 3 == 2 ? 0.5 : std::clamp(off_near / (off_near - off_far), 0.02, 0.98);
    const double at = near + share * (far - near);
    const std::optional<double> value = profile(at);
    if (!value) return std::nullopt;
    const double off = highest - *value - drop;
    if (std::abs(off) < 1e-9) return at;
    (off > 0 ? far : near) = at;
    (off > 0 ? off_far : off_near) = off;
  }
  return 0.5 * (near + far);
}

// Both ends of an interval of the quantity that `profile` holds fixed, on a log scale.
LifeEstimate interval(const auto& profile, double value, const WeibullLife& fit, double confidence) {
  const double drop = 0.5 * chi_squared_quantile(confidence, 1), at = std::log(value);
  const double step = 1 / std::sqrt(static_cast<double>(fit.failures));
  LifeEstimate told{value, {}, {}};
  if (const auto low = where_it_falls(profile, at, fit.log_likelihood, drop, -step))
    told.low = std::exp(*low);
  if (const auto high = where_it_falls(profile, at, fit.log_likelihood, drop, step))
    told.high = std::exp(*high);
  return told;
}

}  // namespace

LifeEstimate shape_interval(std::span<const LifeRecord> records, const WeibullLife& fit, double confidence) {
  const WeibullLikelihood likelihood(records);
  double log_scale = std::log(fit.scale);
  const auto profile = [&](double log_shape) { return likelihood.highest_at_shape(log_shape, log_scale); };
  return interval(profile, fit.shape, fit, confidence);
}

// log t_p = log scale + log(-log(1 - p))/shape: with log t_p held, log shape is what is left.
LifeEstimate quantile_interval(std::span<const LifeRecord> records, const WeibullLife& fit,
                               double share_failed, double confidence) {
  const WeibullLikelihood likelihood(records);
  const double offset = std::log(-std::log1p(-share_failed));
  const auto profile = [&](double log_time) {
    return likelihood.highest_at_quantile(log_time, offset, std::log(fit.shape));
  };
  return interval(profile, fit.quantile(share_failed), fit, confidence);
}

LifeEstimate scale_interval(std::span<const LifeRecord> records, const WeibullLife& fit, double confidence) {
  LifeEstimate told = quantile_interval(records, fit, -std::expm1(-1.0), confidence);
  told.value = fit.scale;
  return told;
}

GroupComparison compare_groups(std::span<const std::vector<LifeRecord>> groups) {
  GroupComparison comparison;
  std::vector<LifeRecord> all;
  double apart = 0, fitted = 0;
  for (const auto& group : groups) {
    comparison.groups.push_back(weibull_life(group));
    if (!comparison.groups.back()) continue;
    apart += comparison.groups.back()->log_likelihood;
    fitted += 1;
    all.insert(all.end(), group.begin(), group.end());
  }
  if (fitted < 2) return comparison;
  if (const auto together = weibull_life(all))
    comparison.p_value =
        1 - chi_squared_cdf(std::max(2 * (apart - together->log_likelihood), 0.0), 2 * (fitted - 1));
  return comparison;
}

double bound_without_failures(std::span<const LifeRecord> records, double shape, double share_failed,
                              double confidence) {
  double longest = 0, sum = 0;
  for (const LifeRecord& one : records) longest = std::max(longest, one.low);
  for (const LifeRecord& one : records) sum += std::pow(one.low / longest, shape);
  // Zero failures at rate a over a total `sum` have chance exp(-a sum).
  return longest * std::pow(sum * -std::log1p(-share_failed) / -std::log1p(-confidence), 1 / shape);
}

}  // namespace boxfettle
