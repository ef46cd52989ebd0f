#include "statistics/wear.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>

#include "input/input_error.hpp"
#include "statistics/invented_wear.hpp"
#include "statistics/measuring_interval.hpp"

namespace boxfettle {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::ThrowsMessage;

// A patch read exactly on a line, with a stated uncertainty.
std::vector<WearReading> on_a_line(double start_mm, double mm_per_1000, double u95_mm = 0.01) {
  std::vector<WearReading> readings;
  for (double shots = 5000; shots <= 25000; shots += 5000)
    readings.push_back({"P1", shots, start_mm + mm_per_1000 * shots / 1000, u95_mm});
  return readings;
}

TEST(Wear, OfReadingsOnALineIsThatLine) {
  const Wear told = wear(on_a_line(0.01, 0.008));
  EXPECT_NEAR(told.rate_mm_per_1000.value, 0.008, 1e-12);
  EXPECT_TRUE(told.told);
  EXPECT_NEAR(told.patches[0].now_mm, 0.21, 1e-6);
  ASSERT_TRUE(told.shots_to_limit);
  EXPECT_NEAR(told.shots_to_limit->value, 0.09 / 0.008 * 1000, 150);
  EXPECT_LT(told.shots_to_limit->low, told.shots_to_limit->value);
  EXPECT_EQ(told.seen_shots, 20000);
}

TEST(Wear, BuildUpGrowsTowardsTheSameLimit) {
  std::vector<WearReading> readings = on_a_line(0.01, 0.008);
  const Wear worn = wear(readings);
  for (WearReading& one : readings) one.depth_mm = -one.depth_mm;
  const Wear built = wear(readings);
  EXPECT_TRUE(built.patches[0].build_up);
  EXPECT_EQ(built.rate_mm_per_1000.value, worn.rate_mm_per_1000.value);
  EXPECT_EQ(built.shots_to_limit->value, worn.shots_to_limit->value);
}

TEST(Wear, ARepairStartsANewLineAndDoesNotLowerTheRate) {
  std::vector<WearReading> readings = on_a_line(0.01, 0.01);
  for (double shots = 30000; shots <= 45000; shots += 5000)
    readings.push_back({"P1", shots, 0.01 * (shots - 28000) / 1000, 0.01});
  const Wear told = wear(readings);
  EXPECT_THAT(told.patches[0].set_back_at_shots, ElementsAre(30000));
  EXPECT_NEAR(told.rate_mm_per_1000.value, 0.01, 1e-9);
  EXPECT_NEAR(told.patches[0].now_mm, 0.17, 1e-3);
  EXPECT_EQ(told.seen_shots, 15000);
}

TEST(Wear, ReadingsThatFallWithinTheirUncertaintyAreNoRepairAndTheRateIsNotNegative) {
  const Wear told = wear(std::vector<WearReading>{{"P1", 1000, 0.05, 0.04},
                                                  {"P1", 5000, 0.04, 0.04},
                                                  {"P1", 9000, 0.02, 0.04},
                                                  {"P1", 12000, 0.03, 0.04}});
  EXPECT_TRUE(told.patches[0].set_back_at_shots.empty());
  EXPECT_EQ(told.rate_mm_per_1000.value, 0);
  EXPECT_GE(told.rate_mm_per_1000.low, 0);
  EXPECT_FALSE(told.told);
  EXPECT_GT(told.patches[0].rate_mm_per_1000.high, 0) << "it may still wear by what the readings cannot see";
}

TEST(Wear, APatchReadOnceBorrowsTheRateOfTheOthers) {
  KnownWear known = known_wear({6, 6, 0.006, 0.0008}, 3);
  known.readings.push_back({"new", 24000, 0.1, 0.02});
  const Wear told = wear(known.readings);
  const PatchWear& fresh = told.patches.back();
  EXPECT_NEAR(fresh.rate_mm_per_1000.value, 0.006, 0.0015);
  EXPECT_GT(fresh.rate_mm_per_1000.high - fresh.rate_mm_per_1000.low,
            told.patches[0].rate_mm_per_1000.high - told.patches[0].rate_mm_per_1000.low);
}

TEST(Wear, ReadingsThatScatterMoreThanTheyClaimAreBelievedLess) {
  InventedWear invented;
  invented.patches = 1;
  invented.readings = 30;
  invented.noise_mm = 0.03;
  KnownWear known = known_wear(invented, 4);
  for (WearReading& one : known.readings) one.u95_mm = 1.96 * 0.01;
  const Wear told = wear(known.readings);
  EXPECT_NEAR(told.noise_ratio, 3, 0.8);
  EXPECT_NEAR(told.noise_mm, 0.03, 0.008);
}

TEST(Wear, OfTheSameReadingsIsTheSameEveryTimeAndInAnyOrder) {
  KnownWear known = known_wear({}, 5);
  const Wear once = wear(known.readings), twice = wear(known.readings);
  EXPECT_EQ(once.shots_to_limit->value, twice.shots_to_limit->value);
  std::swap(known.readings[0], known.readings[3]);
  EXPECT_NEAR(wear(known.readings).shots_to_limit->value, once.shots_to_limit->value, 1e-6);
}

TEST(Wear, ReadingsThatTellNoRateAreRefusedWithTheReason) {
  const auto refusal = [](const std::vector<WearReading>& readings, const std::string& why) {
    EXPECT_THAT([&] { wear(readings); }, ThrowsMessage<InputError>(HasSubstr(why))) << why;
  };
  refusal({}, "no reading");
  refusal({{"P1", 1000, 0.1, 0.01}}, "two different shot counts");
  refusal({{"P1", 1000, 0.1, 0.01}, {"P1", 1000, 0.11, 0.01}}, "two different shot counts");
  refusal({{"P1", 1000, 0.1, 0.01}, {"P1", 2000, 0.1, {}}}, "some readings have an uncertainty");
  refusal({{"P1", 1000, 0.1, 0.0}, {"P1", 2000, 0.1, 0.01}}, "not above zero");
  refusal({{"P1", 1000, 0.1, {}}, {"P1", 2000, 0.2, {}}}, "no reading is left over");
  refusal({{"P1", 1000, 0.1, {}}, {"P1", 2000, 0.1, {}}, {"P1", 3000, 0.1, {}}}, "without any scatter");
}

// Nine readings: seven are left over, so that no cap for few data applies.
std::vector<WearReading> well_read() {
  std::vector<WearReading> readings = on_a_line(0.01, 0.008);
  for (double shots = 6000; shots < 25000; shots += 5000)
    readings.push_back({"P1", shots, 0.01 + 0.008 * shots / 1000, 0.01});
  return readings;
}

TEST(MeasuringInterval, ShrinksInMonthsWithTheVolumeAndNotInShots) {
  const Wear told = wear(well_read());
  const MeasuringInterval slow = measuring_interval(told, {.monthly_shots = 500});
  const MeasuringInterval fast = measuring_interval(told, {.monthly_shots = 5000});
  EXPECT_EQ(slow.shots, fast.shots);
  EXPECT_NEAR(*slow.months, 10 * *fast.months, 1e-9);
  EXPECT_FALSE(measuring_interval(told).months);
}

TEST(MeasuringInterval, IsTheShotsBeforeWhichTheLimitIsPassedWithTheAcceptedRisk) {
  const Wear told = wear(well_read());
  EXPECT_LT(measuring_interval(told, {.risk = 0.01}).shots, measuring_interval(told, {.risk = 0.3}).shots);
  const MeasuringInterval interval = measuring_interval(told, {.risk = 0.05});
  EXPECT_EQ(interval.reason, IntervalReason::wear);
  const auto passed = [&](double shots) {
    return static_cast<double>(
               std::ranges::count_if(told.drawn_shots, [&](double at) { return at < shots; })) /
           static_cast<double>(told.drawn_shots.size());
  };
  EXPECT_LE(passed(interval.shots), 0.05);
  EXPECT_GE(passed(1.1 * interval.shots + 100), 0.05);
}

TEST(MeasuringInterval, NeverLooksFurtherAheadThanTheReadingsReachBackWhenTheyAreFew) {
  const Wear slow = wear(std::vector<WearReading>{{"P1", 1000, 0.010, 0.01}, {"P1", 5000, 0.012, 0.01}});
  const MeasuringInterval interval = measuring_interval(slow);
  EXPECT_TRUE(interval.few);
  EXPECT_EQ(interval.shots, 4000);
  EXPECT_EQ(interval.reason, IntervalReason::few_data);
  EXPECT_EQ(measuring_interval(slow, {.monthly_shots = 100}).shots, 600) << "six months";
}

TEST(MeasuringInterval, IsDueNowWhenTheLimitMayBePassed) {
  const MeasuringInterval interval = measuring_interval(wear(on_a_line(0.11, 0.008)));
  EXPECT_EQ(interval.shots, 0);
  EXPECT_EQ(interval.reason, IntervalReason::due_now);
}

// Depths read off a drawing, not measured: the interval would be rounding and nothing else.
TEST(Wear, DepthsOnAnExactLineTellNoScatterWhateverTheirSignOrTheirShots) {
  for (const double sign : {1.0, -1.0})
    for (const double shots : {1.0, 1000.0, 1234567.0}) {
      std::vector<WearReading> readings;
      for (int i = 1; i <= 8; ++i) readings.push_back({"P1", shots * i, sign * 0.01 * i, std::nullopt});
      EXPECT_THROW(wear(readings, WearSettings{}), InputError) << sign << " " << shots;
    }
}

}  // namespace
}  // namespace boxfettle
