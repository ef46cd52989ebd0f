#include "corebox/casting_tolerance.hpp"

#include <gtest/gtest.h>

namespace boxfettle {
namespace {

TEST(CastingTolerance, WidensWithTheGradeAndWithTheSize) {
  for (const double size : {5.0, 30.0, 90.0, 200.0, 390.0})
    for (int grade = 1; grade < 16; ++grade) {
      const auto here = casting_tolerance(grade, size), coarser = casting_tolerance(grade + 1, size);
      if (here && coarser) {
        EXPECT_LT(here->band_mm, coarser->band_mm) << grade << " at " << size;
      }
      const auto larger = casting_tolerance(grade, size * 1.7);
      if (here && larger) {
        EXPECT_LE(here->band_mm, larger->band_mm) << grade << " at " << size;
      }
    }
}

TEST(CastingTolerance, ASizeOnTheEdgeBelongsToTheRangeBelow) {
  EXPECT_EQ(casting_tolerance(9, 100)->band_mm, 2.2);
  EXPECT_EQ(casting_tolerance(9, 100.001)->band_mm, 2.5);
}

TEST(CastingTolerance, SaysWhereTheTableEndsAndWhatIsFromMemory) {
  EXPECT_FALSE(casting_tolerance(1, 200));
  EXPECT_FALSE(casting_tolerance(13, 9));
  EXPECT_FALSE(casting_tolerance(9, 20000));
  EXPECT_FALSE(casting_tolerance(12, 800)->seen);
  EXPECT_TRUE(casting_tolerance(9, 800)->seen);
  EXPECT_NE(casting_tolerance(12, 800)->source().find("memory"), std::string::npos);
}

TEST(GradedLimits, PutHalfTheBandInPlaceOfTheSurfaceLimitAndSayWhence) {
  Limits limits;
  limits.casting_grade = "DCTG 9";
  const GradedLimits graded = graded_limits(limits, 150);
  EXPECT_EQ(graded.limits.surface_mm, 1.25);
  EXPECT_EQ(graded.limits.mismatch_mm, limits.mismatch_mm);
  ASSERT_EQ(graded.notes.size(), 2U);
  EXPECT_NE(graded.notes[0].find("ISO 8062-3:2007, table 2"), std::string::npos);
}

TEST(GradedLimits, LeaveABoxWithoutAGradeAlone) {
  const GradedLimits graded = graded_limits(Limits{}, 150);
  EXPECT_EQ(graded.limits, Limits{});
  EXPECT_TRUE(graded.notes.empty());
}

TEST(GradedLimits, KeepTheShopsLimitWhereTheGradeHasNoValue) {
  Limits limits;
  limits.casting_grade = "DCTG 1";
  const GradedLimits graded = graded_limits(limits, 900);
  EXPECT_EQ(graded.limits.surface_mm, 0.30);
  EXPECT_EQ(graded.notes.size(), 1U);
}

}  // namespace
}  // namespace boxfettle
