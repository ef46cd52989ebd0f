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

constexpr double outer_share = 0.00135;  // what lies beyond 3 sigma of a normal, on one side

struct OuterPercentiles {
  double low, middle, high;
};

std::optional<double> percentile_pp(const OuterPercentiles& at, const ToleranceBand& band) {
  if (!band.upper || !band.lower) return std::nullopt;
  return (*band.upper - *band.lower) / (at.high - at.low);
}

double percentile_ppk(const OuterPercentiles& at, const ToleranceBand& band) {
  double index = std::numeric_limits<double>::max();
  if (band.upper) index = std::min(index, (*band.upper - at.middle) / (at.high - at.middle));
  if (band.lower) index = std::min(index, (at.middle - *band.lower) / (at.middle - at.low));
  return index;
}

// Of a place among values in rising order, counted from 1 and between them by interpolation.
double value_at(std::span<const double> sorted, double rank) {
  return quantile(sorted, std::clamp((rank - 1) / (static_cast<double>(sorted.size()) - 1), 0.0, 1.0));
}

// Where the true percentile may stand: so many values lie below it as a binomial count says, taken as a beta
// variable so that it may stand anywhere between two of them.
class RedrawnPercentiles {
 public:
  RedrawnPercentiles(std::span<const double> sorted) : sorted_(sorted) {}
  OuterPercentiles draw() { return {at(outer_share), at(0.5), at(1 - outer_share)}; }

 private:
  double at(double share) {
    const auto n = static_cast<double>(sorted_.size());
    const double below = random_.chi_squared(2 * n * share + 1),
                 above = random_.chi_squared(2 * n * (1 - share) + 1);
    return value_at(sorted_, n * below / (below + above));
  }
  std::span<const double> sorted_;
  RandomNumbers random_{20250107};
};

std::optional<PercentileCapability> by_percentiles(std::vector<double> sorted, const ToleranceBand& band,
                                                   double confidence) {
  std::ranges::sort(sorted);
  // Places share (n + 1): on the average that share of all values lies below them.
  const double places = static_cast<double>(sorted.size()) + 1;
  const OuterPercentiles found{value_at(sorted, outer_share * places), value_at(sorted, 0.5 * places),
                               value_at(sorted, (1 - outer_share) * places)};
  if (sorted.size() < fewest_for_percentiles(confidence) ||
      !(found.low < found.middle && found.middle < found.high))
    return std::nullopt;
  constexpr int draws = 4000;
  RedrawnPercentiles redrawn(sorted);
  std::vector<double> pp, ppk;
  for (int i = 0; i < draws; ++i) {
    const OuterPercentiles one = redrawn.draw();
    if (!(one.low < one.middle && one.middle < one.high)) continue;
    ppk.push_back(percentile_ppk(one, band));
    if (const auto index = percentile_pp(one, band)) pp.push_back(*index);
  }
  const auto estimate = [&](double value, std::vector<double>& all) {
    std::ranges::sort(all);
    const double tail = 0.5 * (1 - confidence);
    return all.empty() ? Estimate{value, value, value}
                       : Estimate{value, quantile(all, tail), quantile(all, 1 - tail)};
  };
  const auto index = percentile_pp(found, band);
  return PercentileCapability{found.low, found.middle, found.high,
                              index ? std::optional(estimate(*index, pp)) : std::nullopt,
                              estimate(percentile_ppk(found, band), ppk)};
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

// The chance that all values lie above the percentile: the share below its interval's end.
std::size_t fewest_for_percentiles(double confidence) {
  return static_cast<std::size_t>(std::ceil(std::log(0.5 * (1 - confidence)) / std::log1p(-outer_share)));
}

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
