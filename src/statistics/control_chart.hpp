// Control charts of what cores weigh and measure, and of how many are bad.
//
// Mean with range or standard deviation (xbar-r, xbar-s), single values with moving range (i-mr), bad
// fraction (p), counts (c), exponentially weighted mean (ewma), two-sided sums (cusum). Limits stand at 3
// sigma of the plotted point, for every point by its own subgroup's size. D. C. Montgomery, "Introduction to
// Statistical Quality Control", chapters 6, 7 and 9; NIST/SEMATECH e-Handbook 6.3.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "statistics/average_run_length.hpp"
#include "statistics/change_point.hpp"
#include "statistics/change_shape.hpp"
#include "statistics/run_rules.hpp"

namespace boxfettle {

enum class ChartKind { xbar_r, xbar_s, i_mr, p, c, ewma, cusum };
std::string_view name(ChartKind kind);  // "xbar-r"
std::optional<ChartKind> chart_kind_named(std::string_view text);

// What one point of the chart is made of.
struct Subgroup {
  std::vector<double> values;  // measured, those that are missing left out; for p and c: the one count
  double checked = 0;          // p only: how many were looked at; 0 counts as missing
};

struct ChartSettings {
  ChartKind kind = ChartKind::xbar_r;
  std::optional<double> target;         // centre, when it is given and not estimated
  std::optional<double> sigma;          // of a single value, when given
  std::optional<std::size_t> baseline;  // estimate from so many first subgroups only
  RuleSettings rules{};
  double lambda = 0.2;       // ewma: weight of the newest point
  double width = 3;          // ewma: limits in sigmas of the plotted mean
  double k = 0.5, h = 5;     // cusum: reference and limit in sigmas of a point
  double confidence = 0.95;  // of the change point's interval
};

struct ChartLimits {
  double centre = 0, lower = 0, upper = 0;
};

// What a chart holds its points against.
struct ChartBasis {
  double centre = 0;      // mean, bad fraction or count
  double sigma = 0;       // of a single value; not used by p and c
  double usual_size = 1;  // the commonest subgroup size
  std::size_t subgroups_used = 0;
};

struct ChartPoint {
  std::optional<double> value;              // what is plotted; empty when nothing was measured
  double size = 0;                          // values in the subgroup
  ChartLimits limits;                       // by this subgroup's size
  std::optional<double> sigmas;             // of the subgroup's own mean from the centre
  std::optional<double> mean;               // ewma and cusum: what the point was updated with
  std::optional<double> high_sum, low_sum;  // cusum: both sums, in the values' unit
  std::optional<double> spread;             // range, standard deviation or moving range
  ChartLimits spread_limits;
};

struct ChartSignal {
  std::size_t index;  // of the point, from 0
  RunRule rule;
  bool of_spread = false;  // seen on the second chart
};

// Signals that follow each other tell of one change; twenty points without a signal end the stretch. Two
// stretches that one straight line tells as well are one drift.
inline constexpr std::size_t quiet_points = 20;
struct ChartChange {
  ChangePoint at;
  std::size_t first_signal, last_signal;  // points, from 0
  ShapeOfChange shape{};
};

struct ControlChart {
  ChartKind kind;
  ChartBasis basis;
  ChartLimits limits;                        // of a point of the usual size
  std::optional<ChartLimits> spread_limits;  // of the second chart
  std::vector<ChartPoint> points;
  std::vector<ChartSignal> signals;
  RunLengths run_lengths;
  std::vector<ChartChange> changes;  // one for each stretch of signals of the first chart, in order
};

// Throws InputError (without a file's name) for data no chart can be drawn of: no value, no scatter, one
// value alone, a subgroup that does not fit the kind, settings that contradict each other.
ChartBasis chart_basis(std::span<const Subgroup> subgroups, const ChartSettings& settings);
ControlChart control_chart(std::span<const Subgroup> subgroups, const ChartSettings& settings);

// Sigma of a point of the usual size, in the values' unit: what `ChartPoint::sigmas` counts.
double point_sigma(const ControlChart& chart);

// A chart that grows point by point; each costs the same however many came before.
class LiveChart {
 public:
  LiveChart(const ChartBasis& basis, const ChartSettings& settings);
  ChartPoint add(const Subgroup& subgroup);
  // Signals of the point added last.
  const std::vector<ChartSignal>& signals() const { return signals_; }

 private:
  ChartPoint shewhart(const Subgroup& subgroup);
  ChartPoint attribute(const Subgroup& subgroup) const;
  void weigh(ChartPoint& point);
  void sum_up(ChartPoint& point);
  void judge(const ChartPoint& point);

  ChartBasis basis_;
  ChartSettings settings_;
  RunWatch watch_;
  std::size_t added_ = 0;
  std::vector<ChartSignal> signals_;
  std::optional<double> before_;         // i-mr: the value just before
  double mean_ = 0, mean_variance_ = 0;  // ewma, its variance in squared sigmas of a single value
  double high_ = 0, low_ = 0;            // cusum
};

}  // namespace boxfettle
