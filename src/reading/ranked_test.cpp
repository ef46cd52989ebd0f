#include "reading/ranked.hpp"

#include <gmock/gmock.h>

#include <algorithm>
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

}  // namespace
}  // namespace boxfettle
