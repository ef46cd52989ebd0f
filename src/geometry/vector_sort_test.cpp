#include "geometry/vector_sort.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <random>
#include <vector>

namespace boxfettle {
namespace {

template <typename Value, typename Draw>
void expect_sorted_as_by_the_standard_library(const Draw& draw) {
  for (const std::size_t count : {0u, 1u, 2u, 300u, 100003u}) {
    std::vector<Value> values(count);
    for (Value& v : values) v = draw();
    std::vector<Value> sorted = values;
    std::sort(sorted.begin(), sorted.end());
    sort_ascending(values);
    EXPECT_EQ(values, sorted) << count;
  }
}

TEST(VectorSort, NumbersAreSortedAsByTheStandardLibrary) {
  std::mt19937_64 random(8);
  std::normal_distribution<float> noise(0, 0.05f);
  expect_sorted_as_by_the_standard_library<float>([&] { return noise(random); });
  expect_sorted_as_by_the_standard_library<std::uint64_t>([&] { return random(); });
  expect_sorted_as_by_the_standard_library<std::uint64_t>([&] { return random() % 7; });
}

}  // namespace
}  // namespace boxfettle
