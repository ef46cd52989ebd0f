#include "statistics/control_constants.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "statistics/moments.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

using std::numbers::pi;

TEST(ControlConstants, OfTwoAndThreeCoresAreTheirClosedForms) {
  EXPECT_NEAR(range_constants(2).d2, 2 / std::sqrt(pi), 1e-12);
  EXPECT_NEAR(range_constants(2).d3, std::sqrt(2 - 4 / pi), 1e-11);
  EXPECT_NEAR(range_constants(3).d2, 3 / std::sqrt(pi), 1e-12);
  EXPECT_NEAR(deviation_constants(2).c4, std::sqrt(2 / pi), 1e-12);
  EXPECT_NEAR(deviation_constants(3).c4, std::sqrt(pi) / 2, 1e-12);
}

TEST(ControlConstants, OfManyCoresAreWhatDrawnSubgroupsShow) {
  RandomNumbers random(15);
  constexpr int runs = 20000;
  Moments ranges, deviations;
  for (int run = 0; run < runs; ++run) {
    Moments weights;
    double least = 1e9, most = -1e9;
    for (int i = 0; i < 25; ++i) {
      const double weight = random.normal();
      weights.add(weight);
      least = std::min(least, weight);
      most = std::max(most, weight);
    }
    ranges.add(most - least);
    deviations.add(*weights.sd());
  }
  // Four standard errors of each.
  EXPECT_NEAR(range_constants(25).d2, ranges.mean(), 0.021);
  EXPECT_NEAR(range_constants(25).d3, *ranges.sd(), 0.016);
  EXPECT_NEAR(deviation_constants(25).c4, deviations.mean(), 0.0042);
}

}  // namespace
}  // namespace boxfettle
