#include "statistics/first_pieces.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>

#include "statistics/distributions.hpp"
#include "statistics/moments.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

TEST(FirstPieces, NoneBadOfFiveStillAllowsFortyFivePercent) {
  EXPECT_NEAR(at_most_bad(5, 0, 0.95), 0.4507, 5e-5);
}

TEST(FirstPieces, TheIntervalHoldsEveryTruthAtLeastAsOftenAsItSays) {
  // The law of Clopper and Pearson: whatever the true fraction, the chance to be held is not below 95 %.
  constexpr std::size_t checked = 23;
  for (double truth = 0.01; truth < 1; truth += 0.017) {
    double chance = 0;
    for (std::size_t bad = 0; bad <= checked; ++bad) {
      const Estimate told = clopper_pearson(checked, bad, 0.95);
      if (told.low <= truth && truth <= told.high)
        chance += binomial_probability(static_cast<double>(bad), checked, truth);
    }
    EXPECT_GE(chance, 0.95) << truth;
  }
}

TEST(FirstPieces, TheNumberNeededIsTheFewestThatBearsTheClaim) {
  rc::check([](unsigned char spread, unsigned char some) {
    const double fraction = 0.005 + 0.2 * spread / 255.0;
    const std::size_t bad = some % 4, needed = pieces_needed(fraction, bad, 0.95);
    RC_ASSERT(at_most_bad(needed, bad, 0.95) <= fraction);
    RC_ASSERT(needed == bad + 1 || at_most_bad(needed - 1, bad, 0.95) > fraction);
  });
}

TEST(FirstPieces, ToleranceLimitsHoldTheShareAsOftenAsTheySay) {
  RandomNumbers random(9);
  constexpr std::size_t count = 8;
  constexpr int runs = 4000;
  const ToleranceFactors factors = tolerance_factors(count, 0.9, 0.95);
  int both = 0, one = 0;
  for (int run = 0; run < runs; ++run) {
    Moments pieces;
    for (std::size_t i = 0; i < count; ++i) pieces.add(random.normal());
    const double reach = factors.two_sided * *pieces.sd();
    both += normal_cdf(pieces.mean() + reach) - normal_cdf(pieces.mean() - reach) >= 0.9;
    one += normal_cdf(pieces.mean() + factors.one_sided * *pieces.sd()) >= 0.9;
  }
  EXPECT_NEAR(both / static_cast<double>(runs), 0.95, 0.014);  // four standard errors
  EXPECT_NEAR(one / static_cast<double>(runs), 0.95, 0.014);
}

TEST(StagedPlan, OfOneStageIsTheBinomial) {
  const StagedPlan plan{{20, 1, 2}};
  for (const double bad : {0.0, 0.02, 0.1, 0.5}) {
    EXPECT_NEAR(plan_outcome(plan, bad).accepted, binomial_cdf(1, 20, bad), 1e-12);
    EXPECT_EQ(plan_outcome(plan, bad).pieces_checked, 20);
  }
}

TEST(StagedPlan, OfTwoStagesIsWhatDrawnRunsGive) {
  const StagedPlan plan{{13, 0, 3}, {13, 3, 4}};
  RandomNumbers random(21);
  constexpr int runs = 20000;
  int accepted = 0, checked = 0;
  for (int run = 0; run < runs; ++run) {
    std::size_t bad = 0;
    for (const PlanStage& stage : plan) {
      for (std::size_t i = 0; i < stage.checked; ++i) bad += random.uniform() < 0.07;
      checked += static_cast<int>(stage.checked);
      if (bad >= stage.reject) break;
      if (bad <= *stage.accept) {
        ++accepted;
        break;
      }
    }
  }
  const PlanOutcome told = plan_outcome(plan, 0.07);
  EXPECT_NEAR(told.accepted, accepted / static_cast<double>(runs), 0.014);
  EXPECT_NEAR(told.pieces_checked, checked / static_cast<double>(runs), 0.19);
}

TEST(SequentialPlan, KeepsItsRisksAndStopsEarlierThanTheOneStageThatKeepsThem) {
  for (const SequentialGoals& goals :
       {SequentialGoals{}, SequentialGoals{0.005, 0.05, 0.05, 0.1}, SequentialGoals{0.02, 0.2, 0.1, 0.05},
        SequentialGoals{0.0001, 0.002, 0.05, 0.1}, SequentialGoals{0.05, 0.5, 0.2, 0.2}}) {
    const StagedPlan plan = sequential_plan(goals);
    EXPECT_LE(plan_outcome(plan, goals.poor).accepted, goals.miss);
    EXPECT_GE(plan_outcome(plan, goals.good).accepted, 1 - goals.alarm);
    if (plan.size() > 10) {  // of three pieces there is little to save
      EXPECT_LT(plan_outcome(plan, goals.poor).pieces_checked, 0.75 * static_cast<double>(plan.size()));
      EXPECT_LT(plan_outcome(plan, goals.good).pieces_checked, 0.9 * static_cast<double>(plan.size()));
    }
    for (std::size_t i = 0; i < plan.size(); ++i)
      EXPECT_TRUE(!plan[i].accept || *plan[i].accept < plan[i].reject) << i;
    EXPECT_EQ(*plan.back().accept + 1, plan.back().reject);
  }
}

}  // namespace
}  // namespace boxfettle
