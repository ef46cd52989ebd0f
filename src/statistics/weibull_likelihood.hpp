// The log likelihood of lives under a Weibull distribution, and its highest point: what weibull_life and its
// intervals are made of.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "statistics/weibull_life.hpp"

namespace boxfettle {

struct WeibullPoint {
  double log_scale = 0, log_shape = 0;
};

class WeibullLikelihood {
 public:
  explicit WeibullLikelihood(std::span<const LifeRecord> records);

  struct Highest {
    WeibullPoint at;
    double value;
    int iterations;
  };
  // Empty when no highest point is found within bounds (shape from 1e-4 to 1e4).
  std::optional<Highest> highest(WeibullPoint start) const;
  // The highest value with the shape held; with a quantile held: log t_p = log_scale + offset/shape.
  std::optional<double> highest_at_shape(double log_shape, double start_log_scale) const;
  std::optional<double> highest_at_quantile(double log_time, double offset, double start_log_shape) const;

 private:
  // Value, gradient and second derivatives by log scale (s) and log shape (b).
  struct Slopes {
    double value = 0, s = 0, b = 0, ss = 0, sb = 0, bb = 0;
  };
  Slopes at(const WeibullPoint& point) const;

  std::vector<double> failed_, sound_;  // logs of exact failures and of lives without failure
  struct Between {
    double low, high;  // logs; low is -infinity where the part was never seen sound
  };
  static void add(const Between& one, double log_scale, double shape, Slopes& sum);
  std::vector<Between> between_;
  double failed_sum_ = 0;
};

}  // namespace boxfettle
