#include "statistics/control_chart.hpp"

#include <gmock/gmock.h>
#include <rapidcheck.h>

#include <cmath>
#include <numbers>

#include "input/input_error.hpp"
#include "statistics/control_constants.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

constexpr std::array all_kinds{ChartKind::xbar_r, ChartKind::xbar_s, ChartKind::i_mr, ChartKind::p,
                               ChartKind::c,      ChartKind::ewma,   ChartKind::cusum};

std::vector<Subgroup> singles(const std::vector<double>& values) {
  std::vector<Subgroup> subgroups;
  for (const double value : values) subgroups.push_back({{value}, 0});
  return subgroups;
}

// A run of core weights, shifted from one subgroup on.
std::vector<Subgroup> a_run(ChartKind kind, std::size_t shifted_from, double shift, std::uint64_t seed) {
  RandomNumbers random(seed);
  std::vector<Subgroup> run;
  const bool single = kind == ChartKind::i_mr || kind == ChartKind::p || kind == ChartKind::c;
  for (std::size_t i = 0; i < 60; ++i) {
    Subgroup one;
    const double level = i >= shifted_from ? shift : 0;
    for (std::size_t k = 0; k < (single ? 1u : 4u + i % 2); ++k)
      one.values.push_back(1200 + 2 * level + 2 * random.normal());
    if (kind == ChartKind::p || kind == ChartKind::c)
      one.values = {std::floor(6 + 3 * level + 4 * random.uniform())};
    one.checked = 50 + static_cast<double>(i % 2) * 50;
    run.push_back(one);
  }
  return run;
}

TEST(ControlChart, ShowsAShiftOfThreeSigmaAndWhenItBeganWithEveryKind) {
  for (const ChartKind kind : all_kinds) {
    SCOPED_TRACE(name(kind));
    ChartSettings settings;
    settings.kind = kind;
    settings.baseline = 30;
    const ControlChart chart = control_chart(a_run(kind, 40, 3, 5), settings);
    ASSERT_FALSE(chart.changes.empty());
    const ChangePoint& change = chart.changes.back().at;
    EXPECT_LE(change.low, 40u);
    EXPECT_GE(change.high, 40u);
    EXPECT_NEAR(static_cast<double>(change.first), 40, 3);
    EXPECT_GT(change.shift, 1);
    EXPECT_LT(chart.limits.lower, chart.limits.centre);
    EXPECT_LT(chart.limits.centre, chart.limits.upper);
  }
}

TEST(ControlChart, AFalseAlarmDoesNotHideTheChangeThatComesLater) {
  std::vector<double> weights;
  for (int i = 0; i < 200; ++i) weights.push_back(100 + (i % 2 == 0 ? 0.8 : -0.8) + (i >= 150 ? 2.5 : 0));
  weights[30] = 96;
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  settings.target = 100;
  settings.sigma = 1;
  const ControlChart chart = control_chart(singles(weights), settings);
  ASSERT_EQ(chart.changes.size(), 2u);
  EXPECT_EQ(chart.changes[0].first_signal, 30u);
  EXPECT_EQ(chart.changes[0].at.first, 30u);
  EXPECT_EQ(chart.changes[1].at.first, 150u);
  EXPECT_EQ(chart.changes[1].at.low, 150u);
}

TEST(ControlChart, MovedAndStretchedWeightsGiveMovedAndStretchedLimitsAndTheSameSignals) {
  rc::check([](std::uint64_t seed) {
    const ChartKind kind = all_kinds[seed % 7];
    if (kind == ChartKind::p || kind == ChartKind::c) return;
    std::vector<Subgroup> run = a_run(kind, 50, 1.5, seed);
    ChartSettings settings;
    settings.kind = kind;
    const ControlChart plain = control_chart(run, settings);
    for (Subgroup& one : run)
      for (double& value : one.values) value = 8 * value - 1024;
    const ControlChart moved = control_chart(run, settings);
    const double centre = kind == ChartKind::cusum ? 0 : 8 * plain.limits.centre - 1024;
    RC_ASSERT(std::abs(moved.limits.centre - centre) < 1e-8);
    RC_ASSERT(std::abs((moved.limits.upper - moved.limits.centre) -
                       8 * (plain.limits.upper - plain.limits.centre)) < 1e-8);
    RC_ASSERT(moved.signals.size() == plain.signals.size());
  });
}

TEST(ControlChart, WithSubgroupsOfOneSizeHasTheLimitsOfTheTextbookFactors) {
  // A2 = 3/(d2 sqrt n) times the mean range; A3 = 3/(c4 sqrt n) times the mean deviation.
  const std::vector<Subgroup> run{{{1, 3, 2}, 0}, {{2, 6, 2}, 0}, {{3, 4, 8}, 0}};
  const ControlChart ranges = control_chart(run, {});
  const double mean_range = (2 + 4 + 5) / 3.0, mean = 31 / 9.0;
  EXPECT_NEAR(ranges.limits.upper, mean + 3 / std::sqrt(3) * mean_range / range_constants(3).d2, 1e-12);
  EXPECT_NEAR(ranges.spread_limits->upper, range_constants(3).upper_factor() * mean_range, 1e-12);
  EXPECT_EQ(ranges.spread_limits->lower, 0);
  ChartSettings deviations;
  deviations.kind = ChartKind::xbar_s;
  const double mean_deviation = (1 + std::sqrt(16 / 3.0) + std::sqrt(7)) / 3;
  EXPECT_NEAR(control_chart(run, deviations).spread_limits->centre, mean_deviation, 1e-12);
}

TEST(ControlChart, AMissingSubgroupIsPassedOverAndEveryOtherHasLimitsOfItsOwnSize) {
  const std::vector<Subgroup> run{{{1, 3}, 0}, {{}, 0}, {{2, 6, 3, 1}, 0}, {{3}, 0}, {{2, 5}, 0}};
  const ControlChart chart = control_chart(run, {});
  ASSERT_EQ(chart.points.size(), 5u);
  EXPECT_FALSE(chart.points[1].value);
  EXPECT_FALSE(chart.points[3].spread) << "one core has no range";
  const auto reach = [&](std::size_t i) { return chart.points[i].limits.upper - chart.basis.centre; };
  EXPECT_NEAR(reach(0), std::numbers::sqrt2 * reach(2), 1e-12);
  EXPECT_NEAR(reach(3), 2 * reach(2), 1e-12);
  EXPECT_EQ(chart.basis.usual_size, 2);
}

TEST(ControlChart, TheMovingRangeDoesNotReachAcrossAMissingCore) {
  std::vector<Subgroup> run = singles({5, 7, 0, 6, 5});
  run[2].values.clear();
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  const ControlChart chart = control_chart(run, settings);
  EXPECT_EQ(chart.points[1].spread, 2);
  EXPECT_FALSE(chart.points[3].spread);
  EXPECT_NEAR(chart.spread_limits->centre, 1.5, 1e-12);
}

TEST(ControlChart, GivenLimitsNeedNoData) {
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  settings.target = 100;
  settings.sigma = 2;
  const ControlChart chart = control_chart(singles({107}), settings);
  EXPECT_EQ(chart.limits.upper, 106);
  ASSERT_EQ(chart.signals.size(), 1u);
  EXPECT_EQ(chart.signals[0].rule, RunRule::outside_limits);
}

TEST(ControlChart, LimitsOfAnEwmaWidenToTheSteadyOnes) {
  ChartSettings settings;
  settings.kind = ChartKind::ewma;
  const std::vector<Subgroup> run = a_run(ChartKind::i_mr, 99, 0, 3);
  const ControlChart chart = control_chart(run, settings);
  EXPECT_NEAR(chart.points[0].limits.upper - chart.basis.centre, 3 * 0.2 * chart.basis.sigma, 1e-12);
  EXPECT_NEAR(chart.points.back().limits.upper, chart.limits.upper, 1e-5);
}

TEST(ControlChart, DataThatGiveNoChartAreRefusedWithTheReason) {
  const auto refusal = [](const std::vector<Subgroup>& run, ChartKind kind, const std::string& why) {
    ChartSettings settings;
    settings.kind = kind;
    EXPECT_THAT([&] { control_chart(run, settings); }, ThrowsMessage<InputError>(HasSubstr(why))) << why;
  };
  refusal({}, ChartKind::i_mr, "no value");
  refusal(singles({4}), ChartKind::i_mr, "too few values");
  refusal(singles({4.1, 4.1, 4.1}), ChartKind::i_mr, "all values are the same");
  refusal({{{4.1, 4.1}, 0}, {{4.1, 4.1}, 0}}, ChartKind::xbar_s, "all values are the same");
  refusal(singles({4, 5}), ChartKind::xbar_r, "one value only");
  refusal({{{4, 5}, 0}, {{4, 6}, 0}}, ChartKind::i_mr, "several values");
  refusal({{std::vector<double>(26, 1.0), 0}}, ChartKind::xbar_r, "more than 25");
  refusal({{{3}, 2}}, ChartKind::p, "more are bad than were checked");
  refusal({{{0}, 20}, {{0}, 20}}, ChartKind::p, "none is bad");
  refusal(singles({-1}), ChartKind::c, "not a whole number");
  refusal(singles({1.5}), ChartKind::c, "not a whole number");
}

}  // namespace
}  // namespace boxfettle
