#include "statistics/change_shape.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "statistics/control_chart.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

using Weights = std::vector<std::optional<double>>;

// Cores whose weight scatters by one sigma around what `level` says of each.
template <typename Level>
Weights weighed(int cores, unsigned seed, const Level& level) {
  RandomNumbers random(seed);
  Weights weights;
  for (int i = 0; i < cores; ++i) weights.push_back(level(i) + random.normal());
  return weights;
}

double from_core(int i, int first) {
  return std::max(i - first, 0);
}

TEST(ChangeShape, ASealThatWearsDriftsAndAHalfThatStandsOffJumps) {
  const Weights worn = weighed(120, 1, [](int i) { return 0.06 * from_core(i, 60); });
  const ShapeOfChange drifting = shape_of_change(worn, 0.95);
  ASSERT_EQ(drifting.shape, ChangeShape::drift);
  EXPECT_LE(drifting.drift->low, 60u);
  EXPECT_GE(drifting.drift->high, 60u);
  EXPECT_LT(drifting.drift->slope.low, 0.06);
  EXPECT_GT(drifting.drift->slope.high, 0.06);
  EXPECT_GT(drifting.drift->slope.low, 0.02);

  const Weights off = weighed(120, 2, [](int i) { return i >= 60 ? 2.5 : 0; });
  EXPECT_EQ(shape_of_change(off, 0.95).shape, ChangeShape::jump);
  EXPECT_FALSE(shape_of_change(off, 0.95).drift);
}

// Turned upside down, or weighed against another centre, it is the same change.
TEST(ChangeShape, DoesNotDependOnTheSignOrTheCentre) {
  const Weights up = weighed(150, 3, [](int i) { return 0.05 * from_core(i, 70); });
  Weights down, lifted;
  for (const auto& point : up) {
    down.push_back(-*point);
    lifted.push_back(*point + 7);
  }
  const ShapeOfChange one = shape_of_change(up, 0.9);
  ASSERT_TRUE(one.drift);
  const Drift other = *shape_of_change(down, 0.9).drift, third = *shape_of_change(lifted, 0.9).drift;
  EXPECT_EQ(one.drift->from, other.from);
  EXPECT_EQ(one.drift->low, third.low);
  EXPECT_NEAR(one.drift->slope.value, -other.slope.value, 1e-12);
  EXPECT_NEAR(one.drift->slope.low, -other.slope.high, 1e-9);
  EXPECT_NEAR(one.drift->slope.high, third.slope.high, 1e-9);
}

TEST(ChangeShape, OfAFewPointsIsNotTold) {
  EXPECT_EQ(shape_of_change({}, 0.95).shape, ChangeShape::cannot_tell);
  EXPECT_EQ(shape_of_change(Weights{{}, {}, {}, {}, {}}, 0.95).shape, ChangeShape::cannot_tell);
  EXPECT_EQ(shape_of_change(Weights{0, 9, {}, 9}, 0.95).shape, ChangeShape::cannot_tell);
  EXPECT_EQ(shape_of_change(Weights{0, 0, 0, 0, 0}, 0.95).shape, ChangeShape::cannot_tell);
}

// Limits drawn through the middle of a drift give signals below at first and above at last: still one drift.
TEST(ChangeShape, ADriftFromTheFirstCoreToTheLastIsToldOnce) {
  std::vector<Subgroup> cores;
  for (const auto& weight : weighed(300, 4, [](int i) { return 0.03 * i; })) cores.push_back({{*weight}, 0});
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  const ControlChart chart = control_chart(cores, settings);
  ASSERT_EQ(chart.changes.size(), 1u);
  ASSERT_TRUE(chart.changes[0].shape.drift);
  const Estimate slope = chart.changes[0].shape.drift->slope;
  const double per_core = point_sigma(chart);
  EXPECT_LT(slope.low * per_core, 0.03);
  EXPECT_GT(slope.high * per_core, 0.03);
}

TEST(ChangeShape, AJumpAndTheRepairAfterItStayTwoJumps) {
  std::vector<Subgroup> cores;
  for (const auto& weight : weighed(240, 5, [](int i) { return i >= 60 && i < 120 ? 3.0 : 0; }))
    cores.push_back({{*weight}, 0});
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  settings.baseline = 60;
  settings.rules.rules = {RunRule::outside_limits, RunRule::far_pair};
  const ControlChart chart = control_chart(cores, settings);
  for (const ChartChange& change : chart.changes) EXPECT_NE(change.shape.shape, ChangeShape::drift);
}

}  // namespace
}  // namespace boxfettle
