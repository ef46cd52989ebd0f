#include "shop/shots_ahead.hpp"

#include <gmock/gmock.h>

#include "shop/invented_requests.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;

BoxState box_measured(const std::string& checkpoint, const std::vector<MeasuredThen>& readings) {
  BoxState box;
  box.box = "TM-0412";
  box.registered = volute_box();  // mismatch limit 0.40 mm: the dowels' shift may be 0.20 mm
  box.measured[checkpoint] = readings;
  if (!readings.empty()) box.runs.made = readings.back().made;
  return box;
}

// `mm` a thousand shots, read every thousand with a scatter of 0.005 mm.
std::vector<MeasuredThen> worn_by(double mm, int readings, std::uint64_t seed) {
  RandomNumbers random(seed);
  std::vector<MeasuredThen> all;
  for (int i = 0; i < readings; ++i)
    all.push_back({1000 * i, 0.02 + mm * i + 0.005 * random.normal(), i + 1});
  return all;
}

TEST(ShotsAhead, FewReadingsTellNothing) {
  EXPECT_FALSE(shots_ahead(box_measured("dowels", {}), shipped_catalogue(), 0).shots);
  const ShotsAhead told = shots_ahead(box_measured("dowels", worn_by(0.01, 3, 1)), shipped_catalogue(), 0);
  EXPECT_FALSE(told.shots);
  EXPECT_THAT(told.sentence, HasSubstr("fewer than four inspections"));
}

TEST(ShotsAhead, ABoxThatDoesNotWearIsGivenNoNumber) {
  const ShotsAhead told = shots_ahead(box_measured("dowels", worn_by(0, 12, 2)), shipped_catalogue(), 0);
  EXPECT_FALSE(told.shots);
  EXPECT_THAT(told.sentence, HasSubstr("does not grow by more than it scatters"));
}

TEST(ShotsAhead, ReadingsAllAtOneCountOfShotsTellNothing) {
  const BoxState box =
      box_measured("dowels", {{500, 0.02, 1}, {500, 0.03, 2}, {500, 0.02, 3}, {500, 0.04, 4}});
  EXPECT_FALSE(shots_ahead(box, shipped_catalogue(), 0).shots);
}

// The promise is kept: of boxes that wear at random rates, 95 % are still within at the shots told.
TEST(ShotsAhead, NineteenOfTwentyBoxesStayWithinForAsLongAsTold) {
  RandomNumbers random(7);
  int told = 0, kept = 0;
  for (int i = 0; i < 300; ++i) {
    const double rate = 0.006 + 0.008 * random.uniform();
    const auto ahead =
        shots_ahead(box_measured("dowels", worn_by(rate, 10, 1000 + static_cast<std::uint64_t>(i))),
                    shipped_catalogue(), 0);
    if (!ahead.shots) continue;
    ++told;
    const double depth = 0.02 + rate * (9.0 + static_cast<double>(*ahead.shots) / 1000);
    kept += depth <= 0.20 ? 1 : 0;
  }
  RecordProperty("told", told);
  RecordProperty("kept", kept);
  EXPECT_GT(told, 280);
  // Binomial with 0.95: three standard deviations below are 0.912 of 300.
  EXPECT_GT(kept, 0.912 * told);
}

TEST(ShotsAhead, ShotsMadeSinceTheLastReadingAreTakenOff) {
  BoxState box = box_measured("dowels", worn_by(0.01, 10, 3));
  const auto before = shots_ahead(box, shipped_catalogue(), 0);
  ASSERT_TRUE(before.shots);
  const auto during = shots_ahead(box, shipped_catalogue(), 400);
  EXPECT_EQ(*before.shots - *during.shots, 400);
  EXPECT_THAT(during.sentence, HasSubstr("(95 %): 'Dowel pins and bushes' gets to 0.20 mm first"));
}

TEST(ShotsAhead, WhatGetsToItsLimitFirstIsNamed) {
  BoxState box = box_measured("dowels", worn_by(0.004, 10, 4));
  box.measured["closure-clamped"] = worn_by(0.015, 10, 5);  // gap limit 0.20 mm as well
  EXPECT_EQ(shots_ahead(box, shipped_catalogue(), 0).checkpoint, "closure-clamped");
}

TEST(ShotsAhead, ABoxPastItsLimitHasNoneLeft) {
  const auto told = shots_ahead(box_measured("dowels", worn_by(0.03, 10, 6)), shipped_catalogue(), 0);
  ASSERT_TRUE(told.shots);
  EXPECT_EQ(*told.shots, 0);
  EXPECT_THAT(told.sentence, HasSubstr("Measure it"));
}

}  // namespace
}  // namespace boxfettle
