#include "reading/peak_depth.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <numbers>
#include <random>
#include <vector>

namespace boxfettle {
namespace {

// Points over a worn bump, depth * cos^2, as wide as the share of its radius that a patch is looked at with.
std::vector<PatchPoint> bump(double depth_mm, double bump_radius_mm, double looked_at_mm, double noise_mm,
                             std::mt19937_64& random) {
  std::uniform_real_distribution<double> side(-looked_at_mm, looked_at_mm);
  std::normal_distribution<double> noise(0, noise_mm);
  std::vector<PatchPoint> points;
  while (points.size() < 200) {
    const double x = side(random), y = side(random), r = std::hypot(x, y);
    if (r > looked_at_mm) continue;
    const double c = std::cos(std::numbers::pi / 2 * r / bump_radius_mm);
    points.push_back({{x + 50, 0.6 * y - 20, 0.8 * y + 7}, depth_mm * c * c + noise(random)});
  }
  return points;
}

TEST(PeakDepth, ItsIntervalHoldsTheTrueDepthOfAWornBumpNineteenTimesInTwenty) {
  std::mt19937_64 random(5);
  const int tries = 1000;
  int held = 0;
  for (int i = 0; i < tries; ++i) {
    const double depth = i % 2 ? 0.4 : -0.3;
    const auto peak = peak_depth(bump(depth, 15, 4, 0.05, random), {50, -20, 7}, 4, 0.05, 0);
    ASSERT_TRUE(peak);
    held += std::abs(peak->depth_mm - depth) <= peak->u95_mm;
  }
  std::printf("interval held the truth in %d of %d\n", held, tries);
  // Binomial scatter is 0.7 %; cos^2 is not quite a quadric, which costs up to 3 %.
  EXPECT_GT(held, 0.90 * tries);
  EXPECT_LT(held, 0.99 * tries);
}

TEST(PeakDepth, IsSilentWhenPointsAreTooFewOrAllInALine) {
  std::mt19937_64 random(9);
  std::vector<PatchPoint> points = bump(0.4, 15, 4, 0.05, random);
  points.resize(10);
  EXPECT_FALSE(peak_depth(points, {50, -20, 7}, 4, 0.05, 0));
  std::vector<PatchPoint> line;
  for (int i = 0; i < 100; ++i) line.push_back({{0.1 * i, 0, 0}, 0.2});
  EXPECT_FALSE(peak_depth(line, {5, 0, 0}, 5, 0.05, 0));
}

}  // namespace
}  // namespace boxfettle
