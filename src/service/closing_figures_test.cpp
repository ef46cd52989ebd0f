#include "service/closing_figures.hpp"

#include <gmock/gmock.h>

#include "demo/invented_cores.hpp"
#include "service/told_figures.hpp"

namespace boxfettle {
namespace {

const ClosingStudy& volute() {
  static const ClosingStudy study = [] {
    const demo::InventedCore& core = demo::coarse(demo::Core::volute);
    return ClosingStudy{core.box, cavity_footprint(core.design, core.box.parting), {}};
  }();
  return study;
}

// The box after an inspection that measured this much at the checkpoint.
BoxState inspected(const std::string& checkpoint, double mm) {
  BoxState state;
  state.inspected_entry = 12;
  state.results[checkpoint] = {{checkpoint, true, mm, "mm", ""}, 12, {}, "Ravi"};
  return state;
}

TEST(ClosingFigures, APlayThatShiftsTheHalvesBeyondTheLimitHoldsTheBox) {
  const auto figures = closing_figures(volute(), inspected("dowels", 0.9));
  ASSERT_EQ(figures.size(), 1u);
  EXPECT_EQ(figures[0].what, "dowels");
  EXPECT_EQ(figures[0].verdict, Computed::Verdict::hold);
  EXPECT_EQ(figures[0].from_entry, 12);
  EXPECT_GT(figures[0].figures[0].value, volute().box.limits.mismatch_mm);
  EXPECT_THAT(figures[0].text, testing::HasSubstr("the limit is 0.40 mm"));
}

TEST(ClosingFigures, ALeafThicknessBeyondTheLimitHoldsTheBox) {
  const auto figures = closing_figures(volute(), inspected("closure-clamped", 0.8));
  ASSERT_EQ(figures.size(), 1u);
  EXPECT_EQ(figures[0].what, "parting gap");
  EXPECT_EQ(figures[0].verdict, Computed::Verdict::hold);
}

TEST(ClosingFigures, WhatWasNotMeasuredThisTimeIsNotToldAgain) {
  BoxState state = inspected("dowels", 0.9);
  state.inspected_entry = 20;
  EXPECT_TRUE(closing_figures(volute(), state).empty());
}

TEST(ClosingFigures, AGoodFigureIsToldOnlyWhereABadOneStood) {
  BoxState state = inspected("dowels", 0.01);
  const auto figures = closing_figures(volute(), state);
  ASSERT_EQ(figures.size(), 1u);
  EXPECT_EQ(figures[0].verdict, Computed::Verdict::fit);
  EXPECT_FALSE(worth_telling(figures[0], state));
  Computed bad;
  bad.what = "dowels";
  bad.verdict = Computed::Verdict::hold;
  state.computed["dowels"] = {bad, 5, {}};
  EXPECT_TRUE(worth_telling(figures[0], state));
}

}  // namespace
}  // namespace boxfettle
