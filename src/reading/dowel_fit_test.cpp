#include "reading/dowel_fit.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using std::numbers::pi;

// Points on a pin's wall: `wall(share of the way round)` at heights from 1 to 11 mm.
template <typename Wall>
std::vector<WallPoint> walls(const Wall& wall, double noise_mm, unsigned seed, std::size_t count = 600) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0, noise_mm);
  std::uniform_real_distribution<double> even(0, 1);
  std::vector<WallPoint> points;
  for (std::size_t i = 0; i < count; ++i) {
    const double height = 1 + 10 * even(random);
    const auto [at, out] = wall(even(random), height);
    points.push_back({at + (noise_mm > 0 ? noise(random) : 0.0) * out, height});
  }
  return points;
}

auto leaning_pin(const Vector2d& at, double radius, const Vector2d& lean) {
  return [=](double share, double height) {
    const Vector2d out(std::cos(2 * pi * share), std::sin(2 * pi * share));
    return std::pair(Vector2d(at + height * lean + radius * out), out);
  };
}

DowelShape nominal_pin() {
  DowelShape shape;
  shape.radius_mm = 6;
  return shape;
}

TEST(DowelFit, OfAPerfectLeaningPinIsExact) {
  const auto points = walls(leaning_pin({0.3, -0.2}, 5.9, {0.004, -0.002}), 0, 3);
  const DowelFit fit = fit_dowel(points, nominal_pin());
  ASSERT_TRUE(fit.converged);
  // The wall is measured along the face, square to its normal: a lean of 0.004 changes that by its square.
  EXPECT_LT((fit.shape.at_mm - Vector2d(0.3, -0.2)).norm(), 1e-4);
  EXPECT_NEAR(fit.shape.radius_mm, 5.9, 1e-4);
  EXPECT_NEAR(fit.shape.lean.x(), 0.004, 1e-5);
}

TEST(DowelFit, StraysOnThePinsTopDoNotPull) {
  auto points = walls(leaning_pin({0.2, 0.1}, 6, {0, 0}), 0.01, 5);
  for (int i = 0; i < 60; ++i) points.push_back({Vector2d(0.2 + 0.08 * i, 0.1), 11});
  const DowelFit fit = fit_dowel(points, nominal_pin());
  EXPECT_LT((fit.shape.at_mm - Vector2d(0.2, 0.1)).norm(), 0.005);
  EXPECT_NEAR(fit.shape.radius_mm, 6, 0.003);
}

TEST(DowelFit, OfASlotTellsItsPlaceWidthDirectionAndLength) {
  DowelShape truth;
  truth.at_mm = {0.2, -0.3};
  truth.radius_mm = 7.03;
  truth.axis_rad = 0.55;
  truth.straight_mm = 3.2;
  const auto slot = [&](double share, double) {
    const Vector2d axis(std::cos(truth.axis_rad), std::sin(truth.axis_rad)), across(-axis.y(), axis.x());
    const double side = share < 0.5 ? 1 : -1, along = std::fmod(2 * share, 1.0);
    if (along < 0.3) {
      const Vector2d out = side * across;
      return std::pair(
          Vector2d(truth.at_mm + (along / 0.15 - 1) * truth.straight_mm * axis + truth.radius_mm * out), out);
    }
    const double angle = (along - 0.3) / 0.7 * pi - pi / 2;
    const Vector2d out = side * (std::cos(angle) * axis + std::sin(angle) * across);
    return std::pair(Vector2d(truth.at_mm + side * truth.straight_mm * axis + truth.radius_mm * out), out);
  };
  DowelShape start;
  start.radius_mm = 7;
  start.axis_rad = 0.5;
  start.straight_mm = 3;
  const DowelFit fit = fit_dowel(walls(slot, 0.02, 7), start, {.slot = true, .ends = true});
  ASSERT_TRUE(fit.converged);
  EXPECT_LT((fit.shape.at_mm - truth.at_mm).norm(), 0.02);  // 600 points of 0.02 mm: 0.002, and some lean
  EXPECT_NEAR(fit.shape.radius_mm, truth.radius_mm, 0.006);
  EXPECT_NEAR(fit.shape.straight_mm, truth.straight_mm, 0.03);
  EXPECT_NEAR(fit.shape.axis_rad, truth.axis_rad, 0.005);
}

TEST(DowelFit, StatesAnUncertaintyThatHoldsTheRadiusInAboutNineteenOfTwenty) {
  int within = 0;
  constexpr int pins = 200;
  for (unsigned seed = 0; seed < pins; ++seed) {
    const DowelFit fit = fit_dowel(walls(leaning_pin({0.1, 0.1}, 6, {0, 0}), 0.05, seed, 300), nominal_pin());
    within += std::abs(fit.shape.radius_mm - 6) < 2.0 * fit.radius_sd_mm;
  }
  // 190 are expected; three standard deviations of the binomial are 9, and a sandwich over some 60 blocks
  // runs a little low.
  EXPECT_GE(within, 178);
}

}  // namespace
}  // namespace boxfettle
