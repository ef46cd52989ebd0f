#include "statistics/capability.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "input/input_error.hpp"
#include "statistics/distributions.hpp"
#include "statistics/first_pieces.hpp"
#include "statistics/moments.hpp"
#include "statistics/quantile.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

struct Within {
  double sd, degrees;
};

// Standard deviations of the subgroups pooled, each with its own degrees of freedom.
std::optional<Within> pooled(std::span<const std::vector<double>> subgroups) {
  double squares = 0, degrees = 0;
  for (const auto& one : subgroups) {
    if (one.size() < 2) continue;
    squares += Moments(one).squares();
    degrees += static_cast<double>(one.size() - 1);
  }
  if (degrees <= 0) return std::nullopt;
  return Within{std::sqrt(squares / degrees), degrees};
}

// Neighbours' differences: half their mean square is the variance. Its variance relative to a chi-squared's:
// (3 n - 4)/(n - 1)^2 against 2/degrees (J. von Neumann and others, "The Mean Square Successive Difference",
// Ann. Math. Stat. 12 (1941)).
Within of_neighbours(std::span<const double> values) {
  double squares = 0;
  for (std::size_t i = 1; i < values.size(); ++i) squares += std::pow(values[i] - values[i - 1], 2);
  const auto n = static_cast<double>(values.size());
  return {std::sqrt(squares / (2 * (n - 1))), std::max(1.0, 2 * (n - 1) * (n - 1) / (3 * n - 4))};
}

double share_of(double distance, double sd) {
  return distance / (3 * sd);
}

double worse_side(const ToleranceBand& band, double mean, double sd) {
  double index = std::numeric_limits<double>::max();
  if (band.upper) index = std::min(index, share_of(*band.upper - mean, sd));
  if (band.lower) index = std::min(index, share_of(mean - *band.lower, sd));
  return index;
}

// The standard deviation alone is in doubt: chi-squared.
std::optional<Estimate> spread_index(const ToleranceBand& band, const Within& within, double confidence) {
  if (!band.lower || !band.upper) return std::nullopt;
  const double value = (*band.upper - *band.lower) / (6 * within.sd), tail = 0.5 * (1 - confidence);
  return Estimate{value, value * std::sqrt(chi_squared_quantile(tail, within.degrees) / within.degrees),
                  value * std::sqrt(chi_squared_quantile(1 - tail, within.degrees) / within.degrees)};
}

// Mean and standard deviation in doubt: A. F. Bissell, "How Reliable Is Your Capability Index?", Applied
// Statistics 39 (1990).
Estimate centred_index(const ToleranceBand& band, double mean, const Within& within, double count,
                       double confidence) {
  const double value = worse_side(band, mean, within.sd);
  const double sd = std::sqrt(1 / (9 * count) + value * value / (2 * within.degrees));
  const double reach = normal_quantile(0.5 + 0.5 * confidence) * sd;
  return {value, value - reach, value + reach};
}

struct Percentiles {
  std::optional<double> pp;
  double ppk;
};

Percentiles percentile_indices(std::span<const double> sorted, const ToleranceBand& band) {
  const double low = quantile(sorted, 0.00135), middle = quantile(sorted, 0.5),
               high = quantile(sorted, 0.99865);
  Percentiles told{std::nullopt, std::numeric_limits<double>::max()};
  if (band.upper) told.ppk = std::min(told.ppk, (*band.upper - middle) / (high - middle));
  if (band.lower) told.ppk = std::min(told.ppk, (middle - *band.lower) / (middle - low));
  if (band.upper && band.lower) told.pp = (*band.upper - *band.lower) / (high - low);
  return told;
}

std::optional<PercentileCapability> by_percentiles(std::vector<double> sorted, const ToleranceBand& band,
                                                   double confidence) {
  std::ranges::sort(sorted);
  const double low = quantile(sorted, 0.00135), middle = quantile(sorted, 0.5),
               high = quantile(sorted, 0.99865);
  if (sorted.size() < fewest_for_percentiles || !(low < middle && middle < high)) return std::nullopt;
  constexpr std::size_t resamples = 400;
  constexpr std::size_t most_drawn = 20'000'000;  // values in all: a second of work
  RandomNumbers random(20250107);
  std::vector<double> pp, ppk, drawn(sorted.size());
  const std::size_t rounds = std::clamp<std::size_t>(most_drawn / sorted.size(), 50, resamples);
  for (std::size_t round = 0; round < rounds; ++round) {
    for (double& value : drawn)
      value = sorted[static_cast<std::size_t>(random.uniform() * static_cast<double>(sorted.size()))];
    std::ranges::sort(drawn);
    const Percentiles one = percentile_indices(drawn, band);
    if (one.pp) pp.push_back(*one.pp);
    ppk.push_back(one.ppk);
  }
  const Percentiles value = percentile_indices(sorted, band);
  const auto estimate = [&](double middle_value, std::vector<double>& all) {
    std::ranges::sort(all);
    const double tail = 0.5 * (1 - confidence);
    return Estimate{middle_value, quantile(all, tail), quantile(all, 1 - tail)};
  };
  return PercentileCapability{low, middle, high,
                              value.pp ? std::optional(estimate(*value.pp, pp)) : std::nullopt,
                              estimate(value.ppk, ppk)};
}

void check(const ToleranceBand& band, const Moments& moments) {
  if (band.lower && band.upper && !(*band.lower < *band.upper))
    throw InputError("", "", "the lower limit is not below the upper one", "exchange them");
  if (moments.count() < 2)
    throw InputError("", "", "holds fewer than two values: no scatter can be told", "measure more cores");
  if (!(*moments.sd() > 1e-13 * std::abs(moments.mean())))
    throw InputError("", "", "all values are the same: no scatter can be told",
                     "look at the gauge's resolution");
}

}  // namespace

Capability capability(std::span<const std::vector<double>> subgroups, const ToleranceBand& band,
                      const CapabilitySettings& settings) {
  std::vector<double> all;
  for (const auto& one : subgroups) all.insert(all.end(), one.begin(), one.end());
  const Moments moments(all);
  check(band, moments);
  const auto n = static_cast<double>(all.size());
  const Within total{*moments.sd(), n - 1};
  const Within within = pooled(subgroups).value_or(of_neighbours(all));
  if (!(within.sd > 0))
    throw InputError("", "", "the values of each subgroup are the same: no scatter within can be told",
                     "look at the gauge's resolution");
  Capability told;
  told.count = all.size();
  told.mean = moments.mean();
  told.sd = total.sd;
  told.sd_within = within.sd;
  told.within_degrees = within.degrees;
  told.cp = spread_index(band, within, settings.confidence);
  told.pp = spread_index(band, total, settings.confidence);
  told.cpk = centred_index(band, told.mean, within, n, settings.confidence);
  told.ppk = centred_index(band, told.mean, total, n, settings.confidence);
  told.normality = anderson_darling(all);
  for (const double value : all)
    told.outside += (band.lower && value < *band.lower) || (band.upper && value > *band.upper);
  const Estimate bad = clopper_pearson(all.size(), told.outside, settings.confidence);
  told.outside_fraction = bad;
  if (band.upper) told.expected_outside += normal_cdf((told.mean - *band.upper) / total.sd);
  if (band.lower) told.expected_outside += normal_cdf((*band.lower - told.mean) / total.sd);
  told.percentiles = by_percentiles(std::move(all), band, settings.confidence);
  return told;
}

}  // namespace boxfettle
