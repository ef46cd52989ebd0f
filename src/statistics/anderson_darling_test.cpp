#include "statistics/anderson_darling.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

TEST(AndersonDarling, CallsNormalWeightsNormalAsOftenAsItSays) {
  RandomNumbers random(11);
  int below = 0;
  constexpr int runs = 3000;
  for (int run = 0; run < runs; ++run) {
    std::vector<double> weights;
    for (int i = 0; i < 25; ++i) weights.push_back(1200 + 3 * random.normal());
    below += anderson_darling(weights)->p_value < 0.1;
  }
  EXPECT_NEAR(below / static_cast<double>(runs), 0.1, 0.022);  // four standard errors
}

TEST(AndersonDarling, SeesWeightsThatLeanToOneSide) {
  RandomNumbers random(12);
  std::vector<double> weights;
  for (int i = 0; i < 100; ++i) weights.push_back(1200 - 3 * std::log(random.uniform()));
  EXPECT_LT(anderson_darling(weights)->p_value, 0.001);
  weights.push_back(1e9);  // so far out that the normal's tail is smaller than any double
  EXPECT_GE(anderson_darling(weights)->p_value, 0);
  EXPECT_LT(anderson_darling(weights)->p_value, 1e-6);
}

TEST(AndersonDarling, SaysNothingOfFewOrEqualWeights) {
  EXPECT_FALSE(anderson_darling(std::vector<double>{1, 2, 3, 4, 5, 6, 7}));
  EXPECT_FALSE(anderson_darling(std::vector<double>(20, 0.1)));
}

}  // namespace
}  // namespace boxfettle
