// Casting tolerances as printed elsewhere, whole bands in mm.
#include <gtest/gtest.h>

#include "corebox/casting_tolerance.hpp"

namespace boxfettle {
namespace {

// ISO 8062-3:2007, table 2, as a stored copy at scribd.com/document/526284450 shows it; the whole column of
// grade 9 also at deangroup-int.co.uk/tolerances; grades 6, 7 and 8 (5, 80, 150 mm) and 9 (200 mm) as half
// bands at invest-casting.com: 0.26, 0.55, 0.90, 1.40.
TEST(Iso80623, BandsAreAsPrinted) {
  struct Printed {
    int grade;
    double size_mm, band_mm;
  };
  for (const Printed& printed : std::initializer_list<Printed>{
           {9, 5, 1.5},    {9, 15, 1.6},   {9, 20, 1.7},  {9, 30, 1.8},  {9, 50, 2},   {9, 80, 2.2},
           {9, 150, 2.5},  {9, 200, 2.8},  {9, 300, 3.2}, {9, 500, 3.6}, {9, 800, 4},  {9, 1500, 4.6},
           {9, 2000, 5.4}, {9, 3000, 6.2}, {9, 5000, 7},  {6, 5, .52},   {7, 80, 1.1}, {8, 150, 1.8},
           {1, 150, .15},  {4, 63, .36},   {12, 63.5, 6}, {16, 390, 25}, {13, 20, 6},  {2, 200, .24},
       }) {
    const auto tolerance = casting_tolerance(printed.grade, printed.size_mm);
    ASSERT_TRUE(tolerance) << printed.grade << " at " << printed.size_mm;
    EXPECT_EQ(tolerance->band_mm, printed.band_mm) << printed.grade << " at " << printed.size_mm;
    EXPECT_TRUE(tolerance->seen) << printed.grade << " at " << printed.size_mm;
  }
}

}  // namespace
}  // namespace boxfettle
