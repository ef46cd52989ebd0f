#include "geometry/morton_order.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <limits>
#include <numeric>
#include <random>

namespace boxfettle {
namespace {

std::vector<Eigen::Vector3f> scattered(std::size_t count) {
  std::mt19937 random(5);
  std::uniform_real_distribution<float> along(-40, 90);
  std::vector<Eigen::Vector3f> points;
  while (points.size() < count) points.emplace_back(along(random), 0.5f * along(random), along(random));
  return points;
}

// Which of two cells comes first along the curve, by its definition: the axis with the highest bit in which
// they differ decides, z before y before x where two axes share it.
bool comes_first(const Eigen::Vector3i& a, const Eigen::Vector3i& b) {
  for (int bit = 9; bit >= 0; --bit)
    for (Eigen::Index axis = 2; axis >= 0; --axis)
      if ((a[axis] >> bit & 1) != (b[axis] >> bit & 1)) return (a[axis] >> bit & 1) < (b[axis] >> bit & 1);
  return false;
}

TEST(MortonOrder, FollowsTheCurveThroughTheCellsAndKeepsTheOrderWithinOne) {
  for (const std::size_t count : {1, 2, 3, 4, 5, 4001}) {
    const std::vector<Eigen::Vector3f> points = scattered(count);
    Eigen::Vector3f low = points[0], high = points[0];
    for (const Eigen::Vector3f& p : points) {
      low = low.cwiseMin(p);
      high = high.cwiseMax(p);
    }
    const float scale = 1023.0f / std::max((high - low).maxCoeff(), 1e-30f);
    std::vector<std::uint32_t> expected(count);
    std::iota(expected.begin(), expected.end(), 0u);
    std::stable_sort(expected.begin(), expected.end(), [&](std::uint32_t a, std::uint32_t b) {
      return comes_first(((points[a] - low) * scale).cast<int>(), ((points[b] - low) * scale).cast<int>());
    });
    EXPECT_EQ(morton_order(points), expected) << count << " points";
  }
}

TEST(MortonOrder, HoldsEveryPointOnceEvenWhereSomeAreBeyondAllMeasure) {
  std::vector<Eigen::Vector3f> points = scattered(1000);
  points[7].x() = 3e38f;
  points[70].y() = -std::numeric_limits<float>::infinity();
  std::vector<std::uint32_t> order = morton_order(points);
  std::sort(order.begin(), order.end());
  for (std::uint32_t i = 0; i < order.size(); ++i) ASSERT_EQ(order[i], i);
}

}  // namespace
}  // namespace boxfettle
