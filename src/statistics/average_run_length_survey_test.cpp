// Run lengths computed against run lengths drawn.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "statistics/average_run_length.hpp"
#include "statistics/random_numbers.hpp"
#include "statistics/run_rules.hpp"

namespace boxfettle {
namespace {

struct Drawn {
  double mean, sd_of_mean;
};

// `fresh` gives a new chart; the chart takes a point in sigmas and says whether it signals.
Drawn drawn_run_length(const std::function<std::function<bool(double)>()>& fresh, double shift, int runs) {
  RandomNumbers random(77);
  double sum = 0, squares = 0;
  for (int run = 0; run < runs; ++run) {
    const auto signals = fresh();
    double length = 1;
    while (!signals(random.normal() + shift)) ++length;
    sum += length;
    squares += length * length;
  }
  const double mean = sum / runs;
  return {mean, std::sqrt((squares / runs - mean * mean) / runs)};
}

// Four standard errors: one case in 16,000 fails by chance.
void expect_agree(double computed, const Drawn& drawn) {
  EXPECT_NEAR(computed, drawn.mean, 4 * drawn.sd_of_mean);
}

TEST(AverageRunLength, OfAChartWithRunRulesIsWhatDrawnChartsTake) {
  using enum RunRule;
  for (const std::vector<RunRule>& rules :
       std::vector<std::vector<RunRule>>{{outside_limits, far_pair, off_centre, one_side},
                                         {outside_limits, far_pair},
                                         {outside_limits, too_quiet, two_streams},
                                         {outside_limits, off_centre, too_quiet}})
    for (const double shift : {0.0, 1.0, -1.5}) {
      const RuleSettings settings{rules, 9};
      const auto fresh = [&] {
        return [watch = RunWatch(settings)](double sigmas) mutable {
          return !watch.add(sigmas).empty() || std::abs(sigmas) > 3;
        };
      };
      expect_agree(shewhart_run_length(settings, shift), drawn_run_length(fresh, shift, 8000));
    }
}

TEST(AverageRunLength, OfAnEwmaIsWhatDrawnChartsTake) {
  for (const double lambda : {0.05, 0.2, 0.4, 1.0})
    for (const double shift : {0.0, 1.0}) {
      const double width = 2.6, limit = width * std::sqrt(lambda / (2 - lambda));
      const auto fresh = [=] {
        return [=, mean = 0.0](double sigmas) mutable {
          mean = lambda * sigmas + (1 - lambda) * mean;
          return std::abs(mean) > limit;
        };
      };
      expect_agree(ewma_run_length(lambda, width, shift), drawn_run_length(fresh, shift, 8000));
    }
}

TEST(AverageRunLength, OfACusumIsWhatDrawnChartsTake) {
  for (const double shift : {0.0, 1.0}) {
    const auto fresh = [] {
      return [high = 0.0, low = 0.0](double sigmas) mutable {
        high = std::max(0.0, high + sigmas - 0.5);
        low = std::max(0.0, low - sigmas - 0.5);
        return std::max(high, low) > 4;
      };
    };
    expect_agree(cusum_run_length(0.5, 4, shift), drawn_run_length(fresh, shift, 8000));
  }
}

}  // namespace
}  // namespace boxfettle
