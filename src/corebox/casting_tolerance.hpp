// ISO 8062-3: what a casting's sizes may vary by when the drawing gives a grade only.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "corebox/core_box.hpp"

namespace boxfettle {

inline constexpr int coarsest_casting_grade = 16;

struct CastingTolerance {
  int grade;              // 9 for DCTG 9
  double over_mm, to_mm;  // the range of nominal sizes it was found in
  double band_mm;         // whole width; the size may vary by half of it either way
  bool seen;              // false: from memory of an older edition's table
  std::string source() const;
};

// ISO 8062-3:2007, table 2. Empty outside the table: no value for that grade and size. `grade` in [1, 16].
std::optional<CastingTolerance> casting_tolerance(int grade, double size_mm);

// 9 from "DCTG 9" as a box file keeps it; empty from anything else.
std::optional<int> casting_grade_number(std::string_view casting_grade);

// A box's limits with the grade's surface limit in place: half the band for the core's longest extent, each
// way. What was done, and what the same grade allows the mismatch, is said in `notes`. Without a grade
// nothing changes.
struct GradedLimits {
  Limits limits;
  std::vector<std::string> notes;
};
GradedLimits graded_limits(const Limits& limits, double longest_mm);

}  // namespace boxfettle
