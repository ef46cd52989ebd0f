#include "reading/ranked.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

namespace boxfettle {
namespace {

TEST(Ranked, MedianIsTheMiddleOfTheSortedValuesAlsoWhereManyAreAlike) {
  std::mt19937 random(7);
  for (std::size_t count = 1; count <= 600; ++count)
    for (const int kinds : {2, 5, 100000}) {
      std::vector<float> values(count);
      for (float& v : values) v = static_cast<float>(static_cast<int>(random() % kinds) - kinds / 2) * 0.01f;
      std::vector<float> sorted = values;
      std::sort(sorted.begin(), sorted.end());
      ASSERT_EQ(median(values), sorted[count / 2]) << count << " values of " << kinds << " kinds";
    }
}

TEST(Ranked, RanksOfVeryManyAreThoseOfTheSortedValuesOnEitherSideOfZero) {
  std::mt19937 random(11);
  for (const float middle : {-3.0f, 0.0f, 2e-30f, 5e20f}) {
    std::normal_distribution<float> about(middle, std::max(std::abs(middle), 1.0f));
    std::vector<float> values(120000);
    for (float& v : values) v = about(random);
    std::fill_n(values.begin(), 7000, middle);
    values.front() = -std::numeric_limits<float>::infinity();
    values.back() = -0.0f;
    std::vector<float> sorted = values;
    std::sort(sorted.begin(), sorted.end());
    std::vector<std::size_t> ranks{0, 1, sorted.size() - 1};
    for (int k = 0; k < 20; ++k) ranks.push_back(random() % sorted.size());
    const std::vector<float> found = of_ranks(values, ranks);
    for (std::size_t k = 0; k < ranks.size(); ++k)
      EXPECT_EQ(found[k], sorted[ranks[k]]) << "rank " << ranks[k] << " about " << middle;
    EXPECT_EQ(median(values), sorted[sorted.size() / 2]);
  }
}

}  // namespace
}  // namespace boxfettle
