// How long pins, bushes, vents and handles last, learnt from those that failed and those that have not yet.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "statistics/estimate.hpp"

namespace boxfettle {

// One part's life: it failed at `low` (high the same), somewhere between two checks `low` and `high`, or has
// reached `low` without failing (no high). Shots, hours or whatever the times are given in; 0 < low, or
// 0 <= low < high.
struct LifeRecord {
  double low = 0;
  std::optional<double> high;
  bool failed() const { return high.has_value(); }
  bool exact() const { return high && *high == low; }
};

// An interval of which an end may lie beyond all bounds.
struct LifeEstimate {
  double value = 0;
  std::optional<double> low, high;  // absent: the data set no bound on this side
};

struct WeibullLife {
  double shape = 1, scale = 1;  // R(t) = exp(-(t/scale)^shape)
  double log_likelihood = 0;
  std::size_t records = 0, failures = 0;
  int iterations = 0;
  double reliability(double t) const;
  double quantile(double share_failed) const;
  double mean() const;
  // The shape as R. Ross takes the bias of few complete failures off it ("Bias and Standard Deviation due to
  // Weibull Parameter Estimation for Small Data Sets", IEEE Trans. Dielectr. Electr. Insul. 3 (1996), formula
  // from memory): times (r - 2)/(r - 0.68). Absent below three failures.
  std::optional<double> unbiased_shape() const;
};

inline constexpr std::size_t few_failures = 10;  // below, the shape is read some 20 % or more too large

// Maximum likelihood with right and interval censoring; Newton's method on log scale and log shape. Empty
// when the data cannot tell: nothing failed, or all failures at one time and nothing beyond it. Throws
// InputError (without a file's name) for records that are none.
std::optional<WeibullLife> weibull_life(std::span<const LifeRecord> records);

// Likelihood-ratio intervals (W. Q. Meeker and L. A. Escobar, "Statistical Methods for Reliability Data"
// (1998), chapter 8): where twice the log likelihood, the other parameter at its best, falls by the
// chi-squared quantile.
LifeEstimate shape_interval(std::span<const LifeRecord> records, const WeibullLife& fit, double confidence);
LifeEstimate scale_interval(std::span<const LifeRecord> records, const WeibullLife& fit, double confidence);
// Of the time by which this share has failed; 0.1 gives B10.
LifeEstimate quantile_interval(std::span<const LifeRecord> records, const WeibullLife& fit,
                               double share_failed, double confidence);

// Do groups (suppliers, places, kinds of bush) live equally long? Twice the log likelihood gained by giving
// each its own shape and scale, against chi-squared.
struct GroupComparison {
  std::vector<std::optional<WeibullLife>> groups;  // in the order given; empty: not told on its own
  std::optional<double> p_value;                   // absent when fewer than two groups are told
};
GroupComparison compare_groups(std::span<const std::vector<LifeRecord>> groups);

// With no failure at all: a lower bound on the time by which `share_failed` have failed, when the shape is
// taken as known: all times to that power are exponential, and sum t^shape bounds their rate.
double bound_without_failures(std::span<const LifeRecord> records, double shape, double share_failed,
                              double confidence);

}  // namespace boxfettle
