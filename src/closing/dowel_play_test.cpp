// The set of positions that pins and bushes allow, against an independent search through the exact
// constraints.
#include "closing/dowel_play.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "closing/invented_dowels.hpp"
#include "closing/likely_shift.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using std::numbers::pi;

TEST(DowelPlay, TwoRoundPinsLetTheHalfTurnByClearanceOverPitch) {
  const std::vector<Dowel> dowels{round_pin(-140, 0, 12, 12.05), round_pin(140, 0, 12, 12.05)};
  const DowelPlay play(dowels);
  ASSERT_TRUE(play.held());
  // Each pin may go c = 0.025 mm; turned to the end, both touch: sin(a / 2) = c / pitch * ... to first order
  // 2c / 280.
  EXPECT_NEAR(play.angle_rad().high, 2 * 0.025 / 280, 1e-11);
  EXPECT_NEAR(play.angle_rad().low, -2 * 0.025 / 280, 1e-11);
  EXPECT_NEAR(play.x_mm().high, 0.025, 1e-9);
  EXPECT_NEAR(play.y_mm().low, -0.025, 1e-9);
  EXPECT_NEAR(play.worst_at({0, 0}).mm, 0.025, 1e-9);
  // Beyond the pins the turn adds: at three times the half pitch the shift is three times the clearance.
  EXPECT_NEAR(play.worst_at({420, 0}).mm, 0.075, 1e-6);
}

TEST(DowelPlay, ASlotBesideARoundPinFreesOnlyItsOwnDirection) {
  const std::vector<Dowel> dowels{round_pin(-100, 0, 10, 10.04), slotted(100, 0, 10, 10.04, {1, 0})};
  const DowelPlay play(dowels);
  ASSERT_TRUE(play.held());
  EXPECT_NEAR(play.x_mm().high, 0.02, 1e-9);
  EXPECT_NEAR(play.angle_rad().high, 0.04 / 200, 1e-9);
}

TEST(DowelPlay, BushesMeasuredOffTheirPlaceLeaveLessRoom) {
  std::vector<Dowel> dowels{round_pin(-140, 0, 12, 12.05), round_pin(140, 0, 12, 12.05)};
  dowels[1].bush_at_parting_mm = Vector2d(140.03, 0.01);
  const DowelPlay play(dowels);
  ASSERT_TRUE(play.held());
  EXPECT_LT(play.x_mm().high - play.x_mm().low, 0.05);
  dowels[1].bush_at_parting_mm = Vector2d(140.08, 0);
  const DowelPlay stuck(dowels);
  EXPECT_FALSE(stuck.assembles());
  // Pitches 0.08 apart, room for 0.05: shared by two pins, each is 0.015 mm short.
  EXPECT_NEAR(stuck.interference_mm(), 0.015, 1e-6);
}

TEST(DowelPlay, OnePinCannotHoldTheTurnAndLikeSlotsCannotHoldTheirDirection) {
  const std::vector<Dowel> one{round_pin(0, 0, 12, 12.05)};
  EXPECT_TRUE(DowelPlay(one).assembles());
  EXPECT_TRUE(DowelPlay(one).turns_freely());
  const std::vector<Dowel> alike{slotted(-100, 0, 10, 10.04, {1, 0}), slotted(100, 0, 10, 10.04, {1, 0})};
  const DowelPlay slides(alike);
  EXPECT_FALSE(slides.held());
  ASSERT_TRUE(slides.slides_along());
  EXPECT_NEAR(std::abs(slides.slides_along()->x()), 1, 1e-12);
}

TEST(DowelPlay, PinsThatFillTheirBushesLeaveNoShift) {
  const std::vector<Dowel> dowels{round_pin(-140, 0, 12, 12), round_pin(140, 0, 12, 12)};
  const DowelPlay play(dowels);
  ASSERT_TRUE(play.held());
  EXPECT_LT(play.worst_at({200, 100}).mm, 1e-6);
}

std::vector<Dowel> drawn_dowels() {
  std::vector<Dowel> dowels;
  const int count = *rc::gen::inRange(2, 5);
  for (int i = 0; i < count; ++i) {
    const double angle = 2 * pi * i / count + *rc::gen::inRange(-20, 20) * 0.01;
    const double away = *rc::gen::inRange(60, 200);
    const double play = *rc::gen::inRange(1, 60) * 0.01;
    dowels.push_back(round_pin(away * std::cos(angle), away * std::sin(angle), 12, 12 + play));
  }
  return dowels;
}

RC_GTEST_PROP(DowelPlay, MoreClearanceNeverLessensTheWorstShift, ()) {
  std::vector<Dowel> dowels = drawn_dowels();
  const Vector2d place(*rc::gen::inRange(-150, 150), *rc::gen::inRange(-150, 150));
  const double before = DowelPlay(dowels).worst_at(place).mm;
  dowels[*rc::gen::inRange<std::size_t>(0, dowels.size())].bush_mm += 0.1;
  RC_ASSERT(DowelPlay(dowels).worst_at(place).mm >= before - 1e-7);
}

RC_GTEST_PROP(DowelPlay, TurningTheWholeFaceTurnsNothingInTheResult, ()) {
  const std::vector<Dowel> dowels = drawn_dowels();
  const Eigen::Rotation2Dd turned(*rc::gen::inRange(0, 628) * 0.01);
  std::vector<Dowel> others = dowels;
  for (Dowel& dowel : others) dowel.at_parting_mm = turned * dowel.at_parting_mm;
  const Vector2d place(*rc::gen::inRange(-150, 150), *rc::gen::inRange(-150, 150));
  RC_ASSERT(std::abs(DowelPlay(dowels).worst_at(place).mm - DowelPlay(others).worst_at(turned * place).mm) <
            1e-7);
}

RC_GTEST_PROP(DowelPlay, TheWorstOfAnOutlineIsTheLargestOfItsPoints, ()) {
  const DowelPlay play(drawn_dowels());
  std::vector<Vector2d> outline;
  for (int k = 0; k < 60; ++k) {
    const double angle = 2 * pi * k / 60, away = 40 + *rc::gen::inRange(0, 100);
    outline.emplace_back(away * std::cos(angle) + 30, 0.6 * away * std::sin(angle));
  }
  double largest = 0;
  for (const Vector2d& place : outline) largest = std::max(largest, play.worst_at(place).mm);
  RC_ASSERT(std::abs(play.worst_along(outline)->mm - largest) < 1e-7);
}

RC_GTEST_PROP(DowelPlay, TheWorstOfASmoothOutlineIsTheLargestOfItsPoints, ()) {
  const DowelPlay play(drawn_dowels());
  const double long_mm = *rc::gen::inRange(40, 200), wide_mm = *rc::gen::inRange(20, 200);
  const Vector2d middle(*rc::gen::inRange(-60, 60), *rc::gen::inRange(-60, 60));
  std::vector<Vector2d> outline;
  for (int k = 0; k < 120; ++k)
    outline.emplace_back(middle + Vector2d(long_mm * std::cos(pi * k / 60), wide_mm * std::sin(pi * k / 60)));
  double largest = 0;
  for (const Vector2d& place : outline) largest = std::max(largest, play.worst_at(place).mm);
  RC_ASSERT(std::abs(play.worst_along(outline)->mm - largest) < 1e-7);
}

TEST(LikelyShift, OfAnyPositionIsBelowTheWorstAndPushedIsMore) {
  const std::vector<Dowel> dowels{round_pin(-140, 0, 12, 12.05), round_pin(140, 0, 12, 12.05)};
  const DowelPlay play(dowels);
  const LikelyShift anywhere = likely_shift(play, {60, 35});
  const LikelyShift pushed = likely_shift(play, {60, 35}, {.contact = Contact::pushed});
  EXPECT_LT(anywhere.p50_mm, anywhere.p95_mm);
  EXPECT_LT(anywhere.p99_mm, play.worst_at({60, 35}).mm);
  EXPECT_GT(pushed.p50_mm, anywhere.p50_mm);
  EXPECT_LE(pushed.p99_mm, play.worst_at({60, 35}).mm * 1.001);
}

}  // namespace
}  // namespace boxfettle
