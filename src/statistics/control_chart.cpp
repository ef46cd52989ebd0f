#include "statistics/control_chart.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "statistics/control_constants.hpp"
#include "statistics/moments.hpp"

namespace boxfettle {
namespace {

constexpr std::array<std::pair<ChartKind, std::string_view>, 7> kind_names{{{ChartKind::xbar_r, "xbar-r"},
                                                                            {ChartKind::xbar_s, "xbar-s"},
                                                                            {ChartKind::i_mr, "i-mr"},
                                                                            {ChartKind::p, "p"},
                                                                            {ChartKind::c, "c"},
                                                                            {ChartKind::ewma, "ewma"},
                                                                            {ChartKind::cusum, "cusum"}}};

bool counts(ChartKind kind) {
  return kind == ChartKind::p || kind == ChartKind::c;
}

bool has_memory(ChartKind kind) {
  return kind == ChartKind::ewma || kind == ChartKind::cusum;
}

bool has_spread(ChartKind kind) {
  return kind == ChartKind::xbar_r || kind == ChartKind::xbar_s || kind == ChartKind::i_mr;
}

ChartLimits point_limits(const ChartBasis& basis, const ChartSettings& settings, double size) {
  const double centre = basis.centre;
  switch (settings.kind) {
    case ChartKind::p: {
      const double reach = 3 * std::sqrt(centre * (1 - centre) / size);
      return {centre, std::max(centre - reach, 0.0), std::min(centre + reach, 1.0)};
    }
    case ChartKind::c:
      return {centre, std::max(centre - 3 * std::sqrt(centre), 0.0), centre + 3 * std::sqrt(centre)};
    case ChartKind::cusum: {
      const double limit = settings.h * basis.sigma / std::sqrt(basis.usual_size);
      return {0, -limit, limit};
    }
    case ChartKind::ewma: {
      const double steady = std::sqrt(settings.lambda / (2 - settings.lambda) / size);
      const double reach = settings.width * basis.sigma * steady;
      return {centre, centre - reach, centre + reach};
    }
    default: {
      const double reach = 3 * basis.sigma / std::sqrt(size);
      return {centre, centre - reach, centre + reach};
    }
  }
}

ChartLimits limits_of_spread(const ChartBasis& basis, ChartKind kind, double size) {
  const int n = static_cast<int>(size);
  if (kind == ChartKind::xbar_s) {
    const DeviationConstants constants = deviation_constants(n);
    const double centre = constants.c4 * basis.sigma;
    return {centre, centre * constants.lower_factor(), centre * constants.upper_factor()};
  }
  const RangeConstants constants = range_constants(n);
  const double centre = constants.d2 * basis.sigma;
  return {centre, centre * constants.lower_factor(), centre * constants.upper_factor()};
}

// How many points a chart of this setting takes. For means a shift of one sigma of a single core is the
// larger in sigmas of a point the more cores a point holds.
RunLengths run_lengths(const ChartBasis& basis, const ChartSettings& settings) {
  const double centre = basis.centre, shift = std::sqrt(basis.usual_size);
  switch (settings.kind) {
    case ChartKind::p: {
      const double n = basis.usual_size, worse = centre + std::sqrt(centre * (1 - centre) / n);
      return {p_run_length(n, centre, centre), p_run_length(n, centre, worse)};
    }
    case ChartKind::c:
      return {c_run_length(centre, centre), c_run_length(centre, centre + std::sqrt(centre))};
    case ChartKind::ewma:
      return {ewma_run_length(settings.lambda, settings.width, 0),
              ewma_run_length(settings.lambda, settings.width, shift)};
    case ChartKind::cusum:
      return {cusum_run_length(settings.k, settings.h, 0), cusum_run_length(settings.k, settings.h, shift)};
    default:
      return {shewhart_run_length(settings.rules, 0), shewhart_run_length(settings.rules, shift)};
  }
}

}  // namespace

double point_sigma(const ControlChart& chart) {
  const double centre = chart.basis.centre, size = chart.basis.usual_size;
  switch (chart.kind) {
    case ChartKind::p:
      return std::sqrt(centre * (1 - centre) / size);
    case ChartKind::c:
      return std::sqrt(centre);
    default:
      return chart.basis.sigma / std::sqrt(size);
  }
}

std::string_view name(ChartKind kind) {
  return kind_names[static_cast<std::size_t>(kind)].second;
}

std::optional<ChartKind> chart_kind_named(std::string_view text) {
  for (const auto& [kind, known] : kind_names)
    if (known == text) return kind;
  return std::nullopt;
}

LiveChart::LiveChart(const ChartBasis& basis, const ChartSettings& settings)
    : basis_(basis), settings_(settings), watch_(settings.rules), mean_(basis.centre) {}

ChartPoint LiveChart::add(const Subgroup& subgroup) {
  signals_.clear();
  ChartPoint point = counts(settings_.kind) ? attribute(subgroup) : shewhart(subgroup);
  if (point.value && settings_.kind == ChartKind::ewma) weigh(point);
  if (point.value && settings_.kind == ChartKind::cusum) sum_up(point);
  judge(point);
  ++added_;
  return point;
}

ChartPoint LiveChart::attribute(const Subgroup& subgroup) const {
  ChartPoint point;
  const bool fraction = settings_.kind == ChartKind::p;
  point.size = fraction ? subgroup.checked : 1;
  if (subgroup.values.empty() || point.size <= 0) {
    point.limits = point_limits(basis_, settings_, basis_.usual_size);
    return point;
  }
  point.limits = point_limits(basis_, settings_, point.size);
  point.value = fraction ? subgroup.values.front() / point.size : subgroup.values.front();
  const double variance = fraction ? basis_.centre * (1 - basis_.centre) / point.size : basis_.centre;
  point.sigmas = (*point.value - basis_.centre) / std::sqrt(variance);
  return point;
}

ChartPoint LiveChart::shewhart(const Subgroup& subgroup) {
  ChartPoint point;
  const std::vector<double>& values = subgroup.values;
  point.size = static_cast<double>(values.size());
  const std::optional<double> before = std::exchange(before_, std::nullopt);
  point.limits = point_limits(basis_, settings_, values.empty() ? basis_.usual_size : point.size);
  if (values.empty()) return point;
  const Moments moments(values);
  point.value = moments.mean();
  point.sigmas = (moments.mean() - basis_.centre) * std::sqrt(point.size) / basis_.sigma;
  if (settings_.kind == ChartKind::i_mr) {
    before_ = point.value;
    if (before) point.spread = std::abs(*point.value - *before);
    if (before) point.spread_limits = limits_of_spread(basis_, settings_.kind, 2);
  } else if (has_spread(settings_.kind) && values.size() >= 2) {
    const auto [least, most] = std::ranges::minmax(values);
    point.spread = settings_.kind == ChartKind::xbar_r ? most - least : *moments.sd();
    point.spread_limits = limits_of_spread(basis_, settings_.kind, point.size);
  }
  return point;
}

// The limits widen from the first point on: the mean's own variance is followed, whatever the sizes.
void LiveChart::weigh(ChartPoint& point) {
  const double keep = 1 - settings_.lambda;
  mean_ = settings_.lambda * *point.value + keep * mean_;
  mean_variance_ = keep * keep * mean_variance_ + settings_.lambda * settings_.lambda / point.size;
  const double reach = settings_.width * basis_.sigma * std::sqrt(mean_variance_);
  point.limits = {basis_.centre, basis_.centre - reach, basis_.centre + reach};
  point.mean = std::exchange(point.value, mean_);
}

void LiveChart::sum_up(ChartPoint& point) {
  const double unit = basis_.sigma / std::sqrt(basis_.usual_size);
  high_ = std::max(0.0, high_ + unit * (*point.sigmas - settings_.k));
  low_ = std::max(0.0, low_ + unit * (-*point.sigmas - settings_.k));
  point.high_sum = high_;
  point.low_sum = low_;
  point.mean = std::exchange(point.value, high_ >= low_ ? high_ : -low_);
}

void LiveChart::judge(const ChartPoint& point) {
  if (!point.value) return;
  const auto outside = [](double value, const ChartLimits& limits) {
    return value > limits.upper || value < limits.lower;
  };
  const bool summed_outside =
      point.high_sum && std::max(*point.high_sum, *point.low_sum) > point.limits.upper;
  if (outside(*point.value, point.limits) || summed_outside)
    signals_.push_back({added_, RunRule::outside_limits});
  if (!has_memory(settings_.kind))
    for (const RunRule rule : watch_.add(*point.sigmas)) signals_.push_back({added_, rule});
  if (point.spread && outside(*point.spread, point.spread_limits))
    signals_.push_back({added_, RunRule::outside_limits, true});
}

namespace {

using Sigmas = std::span<const std::optional<double>>;

// What the points from `from` to the change's last signal tell of it.
void look_at(ChartChange& change, Sigmas sigmas, std::size_t from, double confidence) {
  const Sigmas points = sigmas.subspan(from, change.last_signal + 1 - from);
  change.at = *change_point(points, confidence);  // some signal was seen, so some point is there
  change.shape = shape_of_change(points, confidence);
  for (std::size_t* place : {&change.at.first, &change.at.low, &change.at.high}) *place += from;
  if (auto& drift = change.shape.drift)
    for (std::size_t* place : {&drift->from, &drift->low, &drift->high}) *place += from;
}

// One drift seen in two stretches, as when limits were drawn through the middle of it: it is told by three
// numbers fewer, each of which has to gain log(n)/2 in likelihood (G. Schwarz, Annals of Statistics 6, 1978).
std::optional<ChartChange> one_drift(const ChartChange& before, const ChartChange& after, Sigmas sigmas,
                                     std::size_t from, double confidence) {
  ChartChange both{{}, before.first_signal, after.last_signal};
  look_at(both, sigmas, from, confidence);
  const double fewer = 1.5 * std::log(static_cast<double>(std::max<std::size_t>(both.shape.points, 1)));
  const bool as_well = both.shape.fit + fewer >= before.shape.fit + after.shape.fit;
  if (both.shape.shape != ChangeShape::drift || !as_well) return std::nullopt;
  return both;
}

std::vector<ChartChange> stretches_of(const std::vector<ChartSignal>& signals) {
  std::vector<ChartChange> stretches;
  for (const ChartSignal& signal : signals) {
    if (signal.of_spread) continue;
    if (stretches.empty() || signal.index > stretches.back().last_signal + quiet_points)
      stretches.push_back({{}, signal.index, signal.index});
    stretches.back().last_signal = signal.index;
  }
  return stretches;
}

// Each stretch of signals is looked at from the end of the one before it.
std::vector<ChartChange> changes_of(const std::vector<ChartSignal>& signals, Sigmas sigmas,
                                    double confidence) {
  std::vector<ChartChange> changes;
  std::size_t from = 0, from_before = 0;
  for (ChartChange& change : stretches_of(signals)) {
    look_at(change, sigmas, from, confidence);
    std::optional<ChartChange> together;
    if (!changes.empty()) together = one_drift(changes.back(), change, sigmas, from_before, confidence);
    if (together) {
      changes.back() = *together;
    } else {
      changes.push_back(change);
      from_before = from;
    }
    from = change.last_signal + 1;
  }
  return changes;
}

}  // namespace

ControlChart control_chart(std::span<const Subgroup> subgroups, const ChartSettings& settings) {
  ControlChart chart{settings.kind, chart_basis(subgroups, settings), {}, {}, {}, {}, {}, {}};
  chart.limits = point_limits(chart.basis, settings, chart.basis.usual_size);
  if (has_spread(settings.kind))
    chart.spread_limits = limits_of_spread(chart.basis, settings.kind,
                                           settings.kind == ChartKind::i_mr ? 2 : chart.basis.usual_size);
  LiveChart live(chart.basis, settings);
  std::vector<std::optional<double>> sigmas;
  chart.points.reserve(subgroups.size());
  sigmas.reserve(subgroups.size());
  for (const Subgroup& subgroup : subgroups) {
    chart.points.push_back(live.add(subgroup));
    chart.signals.insert(chart.signals.end(), live.signals().begin(), live.signals().end());
    sigmas.push_back(chart.points.back().sigmas);
  }
  chart.run_lengths = run_lengths(chart.basis, settings);
  chart.changes = changes_of(chart.signals, sigmas, settings.confidence);
  return chart;
}

}  // namespace boxfettle
