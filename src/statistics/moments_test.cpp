#include "statistics/moments.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>
#include <vector>

namespace boxfettle {
namespace {

TEST(Moments, OfCoreWeightsAreTheSameWhetherReadAtOnceOrOneByOne) {
  rc::check([](const std::vector<int>& grams) {
    std::vector<double> weights;
    Moments grown;
    for (const int gram : grams) {
      weights.push_back(1e6 + 0.001 * (gram % 1000));
      grown.add(weights.back());
    }
    const Moments whole(weights);
    RC_ASSERT(whole.count() == grown.count());
    RC_ASSERT(std::abs(whole.mean() - grown.mean()) <= 1e-9);
    RC_ASSERT(std::abs(whole.squares() - grown.squares()) <= 1e-6 * (1e-6 + grown.squares()));
  });
}

TEST(Moments, OfManyBlocksKeepTheDigitsOfSmallScatterOnALargeWeight) {
  // 0, 1, ..., 9 thousandths over and over on 10,000,000: the variance is (100 - 1)/12 millionths exactly,
  // and the data themselves hold it to about 1e-6.
  std::vector<double> weights;
  for (int i = 0; i < 100000; ++i) weights.push_back(1e7 + 0.001 * (i % 10));
  const Moments moments(weights);
  EXPECT_NEAR(moments.mean(), 1e7 + 0.0045, 2e-9);
  EXPECT_NEAR(*moments.sd(), 1e-3 * std::sqrt(99.0 / 12 * 100000 / 99999), 1e-9);
}

TEST(Moments, OfOneCoreTellNoScatter) {
  Moments moments;
  EXPECT_FALSE(moments.sd());
  moments.add(5);
  EXPECT_FALSE(moments.sd());
  moments.add(5);
  EXPECT_EQ(moments.sd(), 0);
}

}  // namespace
}  // namespace boxfettle
