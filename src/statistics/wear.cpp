#include "statistics/wear.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "input/input_error.hpp"
#include "statistics/distributions.hpp"
#include "statistics/quantile.hpp"
#include "statistics/random_numbers.hpp"
#include "statistics/wear_line.hpp"

namespace boxfettle {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();

// The patches' slopes about one rate: b_i ~ N(rate, between + own_i).
class Slopes {
 public:
  void add(double slope, double own_variance) {
    slopes_.push_back(slope);
    own_.push_back(own_variance);
  }
  std::size_t count() const { return slopes_.size(); }

  struct Mean {
    double rate, variance;
  };
  Mean mean(double between, double scale) const {
    double weights = 0, sum = 0;
    for (std::size_t i = 0; i < slopes_.size(); ++i) {
      const double weight = 1 / (between + scale * own_[i]);
      weights += weight;
      sum += weight * slopes_[i];
    }
    return {sum / weights, 1 / weights};
  }
  // How likely each of `tried_betweens()` is, summed up to 1, when the patches' slopes are what was read.
  std::vector<double> chances(double scale) const {
    std::vector<double> chance;
    double top = -never;
    for (const double between : betweens_) {
      const Mean middle = mean(between, scale);
      double log_chance = 0.5 * std::log(middle.variance);
      for (std::size_t i = 0; i < slopes_.size(); ++i) {
        const double variance = between + scale * own_[i];
        log_chance -= 0.5 * (std::log(variance) + std::pow(slopes_[i] - middle.rate, 2) / variance);
      }
      top = std::max(top, log_chance);
      chance.push_back(log_chance);
    }
    double sum = 0;
    for (double& one : chance) one = sum += std::exp(one - top);
    for (double& one : chance) one /= sum;
    return chance;
  }
  const std::vector<double>& tried_betweens() const { return betweens_; }
  // Variances between patches that are equally likely before anything is read: their roots spread like half a
  // Cauchy about the rate itself (A. Gelman, "Prior Distributions for Variance Parameters in Hierarchical
  // Models", Bayesian Analysis 1 (2006)). Neither none nor several times the rate is ruled out.
  void prepare(double scale) {
    constexpr int tried = 48;
    const Mean alike = mean(0, scale);
    const double usual = std::max(std::abs(alike.rate), std::sqrt(alike.variance));
    for (int i = 0; i < tried; ++i)
      betweens_.push_back(std::pow(usual * std::tan(0.5 * std::numbers::pi * (i + 0.5) / tried), 2));
  }

 private:
  std::vector<double> slopes_, own_, betweens_;
};

// A normal draw of those above zero.
double positive_normal(double mean, double sd, RandomNumbers& random) {
  if (!(sd > 0)) return std::max(mean, 0.0);
  const double below = normal_cdf(-mean / sd);
  // Far in the tail the normal is an exponential.
  if (below > 1 - 1e-12) return -sd * sd / std::min(mean, -sd) * -std::log(random.uniform());
  return std::max(mean + sd * normal_quantile(below + (1 - below) * random.uniform()), 0.0);
}

struct Noise {
  double scale;    // by which the lines' covariances are multiplied
  double degrees;  // of freedom it was told from; 0 when it is taken as known
};

// Readings that claim an uncertainty are believed unless they scatter more (R. T. Birge, "The Calculation of
// Errors by the Method of Least Squares", Phys. Rev. 40 (1932)); others show it by their scatter alone.
Noise noise(const std::vector<WearLine>& lines, bool claimed) {
  double squares = 0, degrees = 0, deepest = 0;
  for (const WearLine& line : lines) {
    for (const WearReading& one : line.readings) deepest = std::max(deepest, std::abs(one.depth_mm));
    squares += line.squares;
    degrees += line.degrees;
  }
  if (claimed) return {degrees > 0 ? std::max(1.0, squares / degrees) : 1.0, 0};
  if (degrees < 1)
    throw InputError("", "", "no reading is left over to tell the scatter from",
                     "take a third reading, or give each reading's uncertainty as u95_mm");
  if (!(squares > std::pow(1e-12 * deepest, 2)))  // equal depths leave rounding behind
    throw InputError("", "", "the readings lie on a line without any scatter",
                     "give each reading's uncertainty as u95_mm");
  return {squares / degrees, degrees};
}

// All the draws of one box.
class Forecast {
 public:
  Forecast(const std::vector<WearLine>& lines, const Noise& noise, const WearSettings& settings, double now)
      : lines_(lines),
        noise_(noise),
        settings_(settings),
        now_(now),
        rates_(lines.size()),
        shots_(lines.size()) {
    for (const WearLine& line : lines)
      if (line.has_slope) slopes_.add(line.slope, line.slope_variance);
    if (slopes_.count() == 0)
      throw InputError("", "", "no place was read at two different shot counts: no rate can be told",
                       "read the box again after some thousand shots");
    slopes_.prepare(noise.scale);
    chances_ = slopes_.chances(noise.scale);
    RandomNumbers random(8128);
    for (std::size_t i = 0; i < settings.draws; ++i) draw(random);
    for (auto* all : {&drawn_betweens_, &mean_rates_, &first_}) std::ranges::sort(*all);
    for (auto* all : {&rates_, &shots_})
      for (auto& one : *all) std::ranges::sort(one);
  }

  // Of the patches that were read, each drawn towards the others as far as its readings leave it in doubt.
  Estimate mean_rate() const {
    const double between = rate_sd() * rate_sd();
    const double alike = slopes_.mean(between, noise_.scale).rate;
    double sum = 0;
    for (const WearLine& line : lines_)
      sum += alike + trust(line, between, noise_.scale) * (line.slope - alike);
    return {std::max(sum / static_cast<double>(lines_.size()), 0.0),
            told() ? quantile(mean_rates_, tail()) : 0.0, quantile(mean_rates_, 1 - tail())};
  }
  double rate_sd() const { return std::sqrt(quantile(drawn_betweens_, 0.5)); }
  // Some patch alone, asked as strictly as their number demands, or all together show a rate above zero.
  bool told() const {
    const auto seen = [&](double slope, double variance, double share) {
      const double sigmas = slope / std::sqrt(noise_.scale * variance);
      const double chance = noise_.degrees > 0 ? t_upper_tail(sigmas, noise_.degrees) : normal_cdf(-sigmas);
      return chance < share;
    };
    const auto each = tail() / static_cast<double>(slopes_.count());
    const Slopes::Mean alike = slopes_.mean(0, 1);
    return seen(alike.rate, alike.variance, tail()) || std::ranges::any_of(lines_, [&](const WearLine& line) {
             return line.has_slope && seen(line.slope, line.slope_variance, each);
           });
  }
  Estimate rate(std::size_t patch) const {
    const auto& all = rates_[patch];
    return {quantile(all, 0.5), quantile(all, tail()), quantile(all, 1 - tail())};
  }
  const std::vector<double>& shots(std::size_t patch) const { return shots_[patch]; }
  const std::vector<double>& first() const { return first_; }

 private:
  double tail() const { return 0.5 * (1 - settings_.confidence); }
  // How much a patch's own slope counts beside the others'.
  static double trust(const WearLine& line, double between, double scale) {
    return line.has_slope && between > 0 ? between / (between + scale * line.slope_variance) : 0;
  }
  void draw(RandomNumbers& random);
  double drawn_between(double scale, RandomNumbers& random) const;
  double depth(const WearLine& line, double slope, double scale, RandomNumbers& random) const;

  const std::vector<WearLine>& lines_;
  Noise noise_;
  WearSettings settings_;
  double now_;
  Slopes slopes_;
  std::vector<std::vector<double>> rates_, shots_;
  std::vector<double> chances_;  // of the variances between patches, at the noise as it was told
  std::vector<double> drawn_betweens_, mean_rates_, first_;
};

double Forecast::drawn_between(double scale, RandomNumbers& random) const {
  if (slopes_.count() < 2) return 0;
  // Noise told by hundreds of readings moves by a few per cent only; the chances need no working out anew.
  const bool noise_in_doubt = noise_.degrees > 0 && noise_.degrees < 300;
  const std::vector<double> chances = noise_in_doubt ? slopes_.chances(scale) : chances_;
  const auto at = std::ranges::lower_bound(chances, random.uniform());
  return slopes_.tried_betweens()[std::min<std::size_t>(static_cast<std::size_t>(at - chances.begin()),
                                                        chances.size() - 1)];
}

// What is not known is drawn from the top down: the noise, how much patches differ, their mean rate, each
// patch's own rate given its readings, and its depth given that rate.
void Forecast::draw(RandomNumbers& random) {
  const double scale =
      noise_.degrees > 0 ? noise_.scale * noise_.degrees / random.chi_squared(noise_.degrees) : noise_.scale;
  const double between = drawn_between(scale, random);
  drawn_betweens_.push_back(between);
  const Slopes::Mean mean = slopes_.mean(between, scale);
  const double rate = mean.rate + std::sqrt(mean.variance) * random.normal();
  // Where patches do not differ, the one rate of all is what cannot be negative.
  const double common = between > 0 ? rate : positive_normal(mean.rate, std::sqrt(mean.variance), random);
  double first = never, sum = 0;
  for (std::size_t i = 0; i < lines_.size(); ++i) {
    const WearLine& line = lines_[i];
    const double own = trust(line, between, scale);
    const double middle = common + own * (line.slope - common);
    const double slope = positive_normal(middle, std::sqrt(between * (1 - own)), random);
    sum += slope;
    const double left = settings_.limit_mm - depth(line, slope, scale, random);
    const double shots = left <= 0 ? 0 : slope > 0 ? left / slope : never;
    rates_[i].push_back(slope);
    shots_[i].push_back(shots);
    first = std::min(first, shots);
  }
  first_.push_back(first);
  mean_rates_.push_back(sum / static_cast<double>(lines_.size()));
}

double Forecast::depth(const WearLine& line, double slope, double scale, RandomNumbers& random) const {
  double middle = line.depth_mm, variance = line.depth_variance;
  if (line.has_slope) {
    const double per_slope = line.covariance / line.slope_variance;
    middle += per_slope * (slope - line.slope);
    variance -= per_slope * line.covariance;
  }
  return middle + std::sqrt(std::max(scale * variance, 0.0)) * random.normal() +
         slope * (now_ - line.last_shots());
}

std::optional<Estimate> shots_estimate(const std::vector<double>& sorted) {
  const Estimate told{quantile(sorted, 0.5), quantile(sorted, 0.05), quantile(sorted, 0.95)};
  if (!std::isfinite(told.value) || !std::isfinite(told.high)) return std::nullopt;
  return told;
}

Estimate per_1000(const Estimate& a_shot) {
  return {1000 * a_shot.value, 1000 * a_shot.low, 1000 * a_shot.high};
}

double line_length(const WearLine& line) {
  return line.last_shots() - line.readings[line.starts.back()].shots;
}

PatchWear patch_wear(const WearLine& line, const Forecast& forecast, std::size_t patch, double now) {
  PatchWear told;
  told.patch = line.patch;
  told.build_up = line.build_up;
  told.readings = line.readings.size();
  for (std::size_t i = 1; i < line.starts.size(); ++i)
    told.set_back_at_shots.push_back(line.readings[line.starts[i]].shots);
  told.last_shots = line.last_shots();
  told.rate_mm_per_1000 = per_1000(forecast.rate(patch));
  told.now_mm = line.depth_mm + forecast.rate(patch).value * (now - line.last_shots());
  told.shots_to_limit = shots_estimate(forecast.shots(patch));
  return told;
}

}  // namespace

Wear wear(std::span<const WearReading> readings, const WearSettings& settings) {
  if (readings.empty())
    throw InputError("", "", "holds no reading of wear", "read the box at two shot counts");
  const std::vector<WearLine> lines = wear_lines(readings, settings);
  const bool claimed = readings.front().u95_mm.has_value();
  Wear told;
  for (const WearLine& line : lines) {
    told.now_shots = std::max(told.now_shots, line.last_shots());
    told.seen_shots = std::max(told.seen_shots, line_length(line));
    told.degrees += line.degrees;
  }
  const Noise scatter = noise(lines, claimed);
  const Forecast forecast(lines, scatter, settings, told.now_shots);
  told.rate_mm_per_1000 = per_1000(forecast.mean_rate());
  told.rate_sd_mm_per_1000 = 1000 * forecast.rate_sd();
  told.told = forecast.told();
  double weights = 0;
  for (const WearReading& one : readings) weights += one.u95_mm ? std::pow(1.959964 / *one.u95_mm, 2) : 1;
  told.noise_mm = std::sqrt(scatter.scale * static_cast<double>(readings.size()) / weights);
  told.noise_ratio = claimed ? std::sqrt(scatter.scale) : 1;
  double soonest = never;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    told.patches.push_back(patch_wear(lines[i], forecast, i, told.now_shots));
    const double median = quantile(forecast.shots(i), 0.5);
    if (median < soonest || told.worst_patch.empty()) told.worst_patch = lines[i].patch;
    soonest = std::min(soonest, median);
  }
  told.shots_to_limit = shots_estimate(forecast.first());
  told.drawn_shots = forecast.first();
  return told;
}

}  // namespace boxfettle
