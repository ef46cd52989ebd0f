#include "closing/dowel_check.hpp"

#include <gmock/gmock.h>

#include <cmath>
#include <numbers>

#include "closing/dowel_wear.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using testing::Contains;
using testing::HasSubstr;

CoreBox box_with(double first_bush_mm, double second_bush_mm) {
  CoreBox box;
  box.id = "TM-0412";
  box.dowels = {{"D1", {-140, 0}, 12, first_bush_mm, Dowel::Bush::round, {1, 0}, {}, {}},
                {"D2", {140, 0}, 12, second_bush_mm, Dowel::Bush::round, {1, 0}, {}, {}}};
  box.limits.mismatch_mm = 0.10;
  box.watch_points = {{"W1", {60, 35}}};
  return box;
}

std::vector<Vector2d> outline() {
  std::vector<Vector2d> points;
  for (int k = 0; k < 200; ++k)
    points.emplace_back(110 * std::cos(std::numbers::pi * k / 100),
                        70 * std::sin(std::numbers::pi * k / 100));
  return points;
}

TEST(DowelCheck, ABoxWithNewPinsIsFit) {
  const DowelCheck check = dowel_check(box_with(12.02, 12.02), outline());
  EXPECT_EQ(check.verdict, ClosingVerdict::fit);
  EXPECT_GE(check.worst->mm, check.watched[0].worst.mm);
  EXPECT_FALSE(check.renewal);
}

TEST(DowelCheck, OneWornBushIsRenewedAloneWhenThatSuffices) {
  const DowelCheck check = dowel_check(box_with(12.60, 12.03), outline());
  EXPECT_EQ(check.verdict, ClosingVerdict::hold);
  ASSERT_TRUE(check.renewal);
  ASSERT_EQ(check.renewal->changes.size(), 1U);
  EXPECT_EQ(check.renewal->changes[0].dowel, 0U);
  EXPECT_LE(check.renewal->worst_mm, 0.10);
  EXPECT_THAT(check.advice, Contains(HasSubstr("Renew D1")));
}

TEST(DowelCheck, NoCheaperSetOfRenewalsKeepsTheLimit) {
  const CoreBox box = box_with(12.35, 12.28);
  const DowelCheck check = dowel_check(box, outline());
  ASSERT_TRUE(check.renewal);
  // Every set, tried one by one.
  const auto first = possible_changes(box.dowels, 0), second = possible_changes(box.dowels, 1);
  const std::vector<Vector2d> places = outline();
  for (std::size_t i = 0; i <= first.size(); ++i)
    for (std::size_t j = 0; j <= second.size(); ++j) {
      const double effort = (i > 0 ? first[i - 1].effort : 0) + (j > 0 ? second[j - 1].effort : 0);
      if (effort >= check.renewal->effort) continue;
      std::vector<Dowel> dowels = box.dowels;
      if (i > 0) dowels[0] = first[i - 1].after;
      if (j > 0) dowels[1] = second[j - 1].after;
      EXPECT_GT(DowelPlay(dowels).worst_along(places)->mm, box.limits.mismatch_mm);
    }
}

TEST(DowelCheck, AnOversizePinIsOnlyOfferedWhereItEnters) {
  const CoreBox box = box_with(12.35, 12.03);
  for (std::size_t which = 0; which < 2; ++which)
    for (const DowelChange& change : possible_changes(box.dowels, which)) {
      EXPECT_GE(change.after.bush_mm, change.after.pin_mm);
      EXPECT_LT(change.after.bush_mm - change.after.pin_mm,
                box.dowels[which].bush_mm - box.dowels[which].pin_mm);
      EXPECT_FALSE(which == 1 && change.what == Renewed::oversize_pin);
    }
}

TEST(DowelCheck, OneDowelIsAnsweredWithWhatItCannotHold) {
  CoreBox box = box_with(12.05, 12.05);
  box.dowels.pop_back();
  const DowelCheck check = dowel_check(box, outline());
  EXPECT_EQ(check.verdict, ClosingVerdict::cannot_tell);
  EXPECT_FALSE(check.worst);
  EXPECT_THAT(check.notes, Contains(HasSubstr("turning")));
}

TEST(DowelCheck, HalvesThatDoNotGoTogetherAreHeld) {
  CoreBox box = box_with(12.02, 12.02);
  box.dowels[1].bush_at_parting_mm = Vector2d(140.2, 0);
  const DowelCheck check = dowel_check(box, outline());
  EXPECT_EQ(check.verdict, ClosingVerdict::hold);
  EXPECT_THAT(check.advice, Contains(HasSubstr("do not go together")));
}

TEST(DowelCheck, AWarmUpperHalfBindsOnAColdLowerOne) {
  DowelCheckSettings settings;
  settings.upper_temperature_C = 60;
  const DowelCheck check = dowel_check(box_with(12.02, 12.02), outline(), settings);
  ASSERT_TRUE(check.pitch);
  EXPECT_NEAR(check.pitch->pitch_difference_mm, -280 * expansion_of(BoxMaterial::aluminium).per_K * 40,
              1e-12);
  // What binds is shared by the two pins.
  EXPECT_FALSE(check.play.assembles());
  EXPECT_NEAR(check.play.interference_mm(), check.pitch->bind_mm / 2, 1e-6);
}

TEST(DowelCheck, ABoxWithoutDowelsIsRefusedNamingTheField) {
  CoreBox box = box_with(12.05, 12.05);
  box.dowels.clear();
  try {
    dowel_check(box, outline());
    FAIL();
  } catch (const InputError& error) {
    EXPECT_EQ(error.place(), "dowel");
  }
}

TEST(DowelCheck, AListOfDowelsThatNoBoxHasIsRefusedAtOnce) {
  CoreBox box = box_with(12.05, 12.05);
  for (int k = 0; k < 15; ++k) {
    box.dowels.push_back(box.dowels.front());
    box.dowels.back().at_parting_mm = Vector2d(10 * k, 50);
  }
  EXPECT_THROW(dowel_check(box, outline()), InputError);
}

TEST(DowelCheck, TellsWhatANewFitWouldGive) {
  CoreBox box = box_with(12.60, 12.03);
  const CoreBox renewed = with_new_fit(box, fit_named("H7/g6"));
  for (const Dowel& dowel : renewed.dowels) {
    EXPECT_NEAR(dowel.pin_mm, 12 - 0.017, 1e-9);  // the loosest that 12 g6 and 12 H7 allow
    EXPECT_NEAR(dowel.bush_mm, 12 + 0.018, 1e-9);
  }
  EXPECT_EQ(dowel_check(renewed, outline()).verdict, ClosingVerdict::fit);
}

TEST(DowelWear, FollowsThePlayFromInspectionToInspection) {
  std::vector<PlayReading> readings;
  for (int k = 0; k < 12; ++k)  // 0.0037 mm per 1,000 shots, read to a hundredth
    readings.push_back({2500.0 * k, std::round((0.03 + 0.0037e-3 * 2500 * k) * 100) / 100});
  const DowelWear wear = dowel_wear(readings, 0.20);
  EXPECT_TRUE(wear.told);
  EXPECT_NEAR(wear.rate_mm_per_1000.value, 0.0037, 0.0005);
  ASSERT_TRUE(wear.shots_to_limit);
  // 0.132 mm at 27,500 shots; 0.068 mm more at that rate is 18,400 shots.
  EXPECT_NEAR(wear.shots_to_limit->value, 18400, 3500);
  EXPECT_LT(wear.shots_to_limit->low, wear.shots_to_limit->value);
}

TEST(DowelWear, OfThreeReadingsSaysNothing) {
  const std::vector<PlayReading> three{{0, 0.02}, {1000, 0.03}, {2000, 0.04}};
  EXPECT_FALSE(dowel_wear(three, 0.2).told);
  EXPECT_FALSE(dowel_wear(three, 0.2).why_not.empty());
}

TEST(DowelWear, OfPlayThatNeverChangesIsNotMadeUp) {
  std::vector<PlayReading> same;
  for (int k = 0; k < 6; ++k) same.push_back({1000.0 * k, 0.05});
  EXPECT_FALSE(dowel_wear(same, 0.2).told);
}

}  // namespace
}  // namespace boxfettle
