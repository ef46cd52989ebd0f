#include "corebox/casting_tolerance.hpp"

#include <array>
#include <charconv>
#include <cstddef>
#include <cstdio>
#include <limits>

namespace boxfettle {
namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

struct Row {
  double over_mm, to_mm;
  std::array<double, coarsest_casting_grade> band_mm;
  int seen_to_grade;  // grades up to this one were read in a stored copy of the 2007 table
  bool ninth_seen;    // the whole column of DCTG 9 was read elsewhere too
};

// ISO 8062-3:2007, table 2. What was not seen is remembered from the table of the 1994 edition. The edition
// of 2023 was not at hand.
constexpr std::array<Row, 16> rows{{
    {0, 10, {.09, .13, .18, .26, .36, .52, .74, 1, 1.5, 2, 2.8, 4.2, none, none, none, none}, 16, false},
    {10, 16, {.1, .14, .2, .28, .38, .54, .78, 1.1, 1.6, 2.2, 3, 4.4, none, none, none, none}, 16, false},
    {16, 25, {.11, .15, .22, .3, .42, .58, .82, 1.2, 1.7, 2.4, 3.2, 4.6, 6, 8, 10, 12}, 16, false},
    {25, 40, {.12, .17, .24, .32, .46, .64, .9, 1.3, 1.8, 2.6, 3.6, 5, 7, 9, 11, 14}, 16, false},
    {40, 63, {.13, .18, .26, .36, .5, .7, 1, 1.4, 2, 2.8, 4, 5.6, 8, 10, 12, 16}, 16, false},
    {63, 100, {.14, .2, .28, .4, .56, .78, 1.1, 1.6, 2.2, 3.2, 4.4, 6, 9, 11, 14, 18}, 16, false},
    {100, 160, {.15, .22, .3, .44, .62, .88, 1.2, 1.8, 2.5, 3.6, 5, 7, 10, 12, 16, 20}, 16, false},
    {160, 250, {none, .24, .34, .5, .7, 1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 14, 18, 22}, 16, false},
    {250, 400, {none, none, .4, .56, .78, 1.1, 1.6, 2.2, 3.2, 4.4, 6.2, 9, 12, 16, 20, 25}, 16, false},
    {400, 630, {none, none, none, .64, .9, 1.2, 1.8, 2.6, 3.6, 5, 7, 10, 14, 18, 22, 28}, 13, false},
    {630, 1000, {none, none, none, none, 1, 1.4, 2, 2.8, 4, 6, 8, 11, 16, 20, 25, 32}, 0, true},
    {1000, 1600, {none, none, none, none, none, 1.6, 2.2, 3.2, 4.6, 7, 9, 13, 18, 23, 29, 37}, 0, true},
    {1600, 2500, {none, none, none, none, none, none, 2.6, 3.8, 5.4, 8, 10, 15, 21, 26, 33, 42}, 0, true},
    {2500, 4000, {none, none, none, none, none, none, none, 4.4, 6.2, 9, 12, 17, 24, 30, 38, 49}, 0, true},
    {4000, 6300, {none, none, none, none, none, none, none, none, 7, 10, 14, 20, 28, 35, 44, 56}, 0, true},
    {6300,
     10000,
     {none, none, none, none, none, none, none, none, none, 11, 16, 23, 32, 40, 50, 64},
     0,
     false},
}};

}  // namespace

std::string CastingTolerance::source() const {
  return seen ? "ISO 8062-3:2007, table 2" : "ISO 8062-3:2007, table 2 (this value from memory)";
}

std::optional<CastingTolerance> casting_tolerance(int grade, double size_mm) {
  for (const Row& row : rows) {
    if (!(size_mm > row.over_mm && size_mm <= row.to_mm)) continue;
    const double band = row.band_mm.at(static_cast<std::size_t>(grade - 1));
    if (band != band) return std::nullopt;
    const bool seen = grade <= row.seen_to_grade || (grade == 9 && row.ninth_seen);
    return CastingTolerance{grade, row.over_mm, row.to_mm, band, seen};
  }
  return std::nullopt;
}

std::optional<int> casting_grade_number(std::string_view casting_grade) {
  constexpr std::string_view prefix = "DCTG ";
  if (!casting_grade.starts_with(prefix)) return std::nullopt;
  casting_grade.remove_prefix(prefix.size());
  int grade = 0;
  const auto [end, error] =
      std::from_chars(casting_grade.data(), casting_grade.data() + casting_grade.size(), grade);
  if (error != std::errc{} || end != casting_grade.data() + casting_grade.size()) return std::nullopt;
  if (grade < 1 || grade > coarsest_casting_grade) return std::nullopt;
  return grade;
}

GradedLimits graded_limits(const Limits& limits, double longest_mm) {
  GradedLimits graded{limits, {}};
  const auto grade = casting_grade_number(limits.casting_grade);
  if (!grade) return graded;
  char text[400];
  const auto tolerance = casting_tolerance(*grade, longest_mm);
  if (!tolerance) {
    std::snprintf(text, sizeof text,
                  "%s gives no value for a size of %.0f mm; the surface was judged by %.2f mm instead.",
                  limits.casting_grade.c_str(), longest_mm, limits.surface_mm);
    graded.notes.emplace_back(text);
    return graded;
  }
  graded.limits.surface_mm = 0.5 * tolerance->band_mm;
  std::snprintf(
      text, sizeof text,
      "%s allows a size over %.0f to %.0f mm a band of %.2f mm (%s): the surface was judged by %.3f mm "
      "either way, half of that band for the core's longest extent of %.0f mm.",
      limits.casting_grade.c_str(), tolerance->over_mm, tolerance->to_mm, tolerance->band_mm,
      tolerance->source().c_str(), graded.limits.surface_mm, longest_mm);
  graded.notes.emplace_back(text);
  std::snprintf(
      text, sizeof text,
      "Unless the drawing says otherwise ISO 8062-3 lets the surface mismatch use the same band, %.2f mm "
      "(clause 6, from memory); the mismatch was judged by the box's own limit of %.2f mm.",
      tolerance->band_mm, limits.mismatch_mm);
  graded.notes.emplace_back(text);
  return graded;
}

}  // namespace boxfettle
