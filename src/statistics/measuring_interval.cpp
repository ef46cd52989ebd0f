#include "statistics/measuring_interval.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "statistics/quantile.hpp"

namespace boxfettle {
namespace {

// Down to two digits: more would claim to know.
double rounded_down(double shots) {
  if (shots < 1) return 0;
  const double unit = std::pow(10.0, std::max(std::floor(std::log10(shots)) - 1, 0.0));
  return std::floor(shots / unit * (1 + 1e-12)) * unit;
}

double risk_quantile(const std::vector<double>& sorted, double risk) {
  const double shots = quantile(sorted, risk);
  return std::isnan(shots) ? std::numeric_limits<double>::infinity() : shots;
}

}  // namespace

MeasuringInterval measuring_interval(const Wear& wear, const IntervalSettings& settings) {
  MeasuringInterval interval;
  interval.few = wear.degrees < settings.few_degrees || !wear.told;
  interval.by_wear_alone = risk_quantile(wear.drawn_shots, settings.risk);
  double shots = interval.by_wear_alone;
  double cap = wear.seen_shots * (interval.few ? settings.ahead_when_few : settings.ahead_of_seen);
  if (interval.few && settings.monthly_shots)
    cap = std::min(cap, settings.few_months * *settings.monthly_shots);
  if (shots > cap) {
    interval.reason = interval.few ? IntervalReason::few_data : IntervalReason::seen_span;
    shots = cap;
  }
  interval.shots = rounded_down(shots);
  if (interval.shots < 1) interval.reason = IntervalReason::due_now;
  if (settings.monthly_shots) interval.months = interval.shots / *settings.monthly_shots;
  return interval;
}

}  // namespace boxfettle
