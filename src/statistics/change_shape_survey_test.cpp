// How often jumps are taken for drifts and drifts for jumps, and how often a drift's stated intervals hold.
#include <gtest/gtest.h>

#include <cstdio>

#include "statistics/control_chart.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

// Odds of ten to one may be wrong once in eleven times.
constexpr double may_be_wrong = 1 / (1 + least_odds);

struct Told {
  double jump = 0, drift = 0, cannot_tell = 0;  // of the changes seen
  double slope_held = 0, beginning_held = 0;    // of those told as a drift
};

// A change that begins at core 60, looked at 80 cores later against limits that are known.
template <typename Level>
Told told_of(const Level& level, double slope) {
  constexpr int begins = 60, cores = 140, wanted = 500;
  RandomNumbers random(41);
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  settings.target = 0;
  settings.sigma = 1;
  Told told;
  int seen = 0, drifts = 0;
  while (seen < wanted) {
    std::vector<Subgroup> weights;
    for (int i = 0; i < cores; ++i) weights.push_back({{level(i - begins) + random.normal()}, 0});
    const ControlChart chart = control_chart(weights, settings);
    if (chart.changes.empty() || chart.changes.back().last_signal <= begins) continue;
    ++seen;
    const ShapeOfChange& shape = chart.changes.back().shape;
    told.jump += shape.shape == ChangeShape::jump;
    told.cannot_tell += shape.shape == ChangeShape::cannot_tell;
    if (!shape.drift) continue;
    ++drifts;
    told.slope_held += shape.drift->slope.low <= slope && slope <= shape.drift->slope.high;
    told.beginning_held += shape.drift->low <= begins && begins <= shape.drift->high;
  }
  told.drift = drifts;
  for (double* share : {&told.jump, &told.drift, &told.cannot_tell}) *share /= wanted;
  for (double* share : {&told.slope_held, &told.beginning_held}) *share /= std::max(drifts, 1);
  return told;
}

TEST(ChangeShape, JumpsAreSeldomTakenForDrifts) {
  for (const double by : {1.0, 2.0, 4.0}) {
    const Told told = told_of([by](int since) { return since >= 0 ? by : 0; }, 0);
    std::printf("jump of %.0f sigma: told as jump %.3f, drift %.3f, neither %.3f\n", by, told.jump, told.drift,
                told.cannot_tell);
    EXPECT_LT(told.drift, may_be_wrong);
    EXPECT_GT(told.jump, by >= 2 ? 0.9 : 0.3);
  }
}

TEST(ChangeShape, DriftsAreSeldomTakenForJumpsAndTheirSlopesHold) {
  for (const double slope : {0.02, 0.04, 0.08}) {
    const Told told = told_of([slope](int since) { return since >= 0 ? slope * since : 0; }, slope);
    std::printf(
        "drift of %.2f sigma a core: told as jump %.3f, drift %.3f, neither %.3f; slope held %.3f, beginning "
        "held %.3f\n",
        slope, told.jump, told.drift, told.cannot_tell, told.slope_held, told.beginning_held);
    EXPECT_LT(told.jump, may_be_wrong);
    if (slope >= 0.04) {
      EXPECT_GT(told.drift, 0.7);
      // Those told as drifts are not drawn at random: the stretch ends with a signal.
      EXPECT_GT(told.slope_held, 0.90);
      EXPECT_GT(told.beginning_held, 0.90);
    }
  }
}

}  // namespace
}  // namespace boxfettle
