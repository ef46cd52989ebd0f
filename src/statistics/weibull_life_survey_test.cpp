// How often stated intervals of a life hold the truth, and how far few failures mislead.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "statistics/random_numbers.hpp"
#include "statistics/weibull_life.hpp"

namespace boxfettle {
namespace {

std::vector<LifeRecord> pins(std::size_t count, double until, RandomNumbers& random) {
  std::vector<LifeRecord> records;
  for (std::size_t i = 0; i < count; ++i) {
    const double life = std::sqrt(-std::log(random.uniform()));
    records.push_back(life > until ? LifeRecord{until, std::nullopt} : LifeRecord{life, life});
  }
  return records;
}

bool holds(const LifeEstimate& told, double truth) {
  return told.low.value_or(0) <= truth && truth <= told.high.value_or(1e300);
}

// Shape 2, scale 1. Likelihood-ratio intervals hold a little less than they say when failures are few: 400
// runs know a share to 1.1 %.
TEST(WeibullLife, IntervalsHoldTheTruthAboutAsOftenAsTheySay) {
  RandomNumbers random(51);
  for (const double until : {1e9, 0.8}) {
    int shape = 0, scale = 0, b10 = 0, runs = 0;
    while (runs < 400) {
      const auto records = pins(25, until, random);
      const auto life = weibull_life(records);
      if (!life) continue;
      ++runs;
      shape += holds(shape_interval(records, *life, 0.95), 2);
      scale += holds(scale_interval(records, *life, 0.95), 1);
      b10 += holds(quantile_interval(records, *life, 0.1, 0.95), std::sqrt(-std::log(0.9)));
    }
    std::printf("25 pins watched to %.2g: shape %.3f, scale %.3f, B10 %.3f held\n", until, shape / 400.0,
                scale / 400.0, b10 / 400.0);
    for (const int held : {shape, scale, b10}) EXPECT_GT(held, 0.90 * runs);
  }
}

TEST(WeibullLife, TheShapeOfFewFailuresIsTooLargeAndItsCorrectionTakesThatOff) {
  RandomNumbers random(52);
  for (const std::size_t count : {4u, 6u, 10u, 20u}) {
    double shape = 0, unbiased = 0;
    constexpr int runs = 4000;
    for (int run = 0; run < runs; ++run) {
      const auto life = weibull_life(pins(count, 1e9, random));
      shape += life->shape / runs;
      unbiased += *life->unbiased_shape() / runs;
    }
    std::printf("%2zu failures: shape read %.3f, corrected %.3f (truth 2)\n", count, shape, unbiased);
    EXPECT_GT(shape, 2.05);
    EXPECT_NEAR(unbiased, 2, 0.06);
  }
}

}  // namespace
}  // namespace boxfettle
