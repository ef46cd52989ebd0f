#include "closing/tolerance_class.hpp"

#include <algorithm>
#include <cctype>

#include "closing/iso_286_tables.hpp"

namespace boxfettle {
namespace {

bool all_of_case(std::string_view letters, bool upper) {
  return std::all_of(letters.begin(), letters.end(),
                     [&](char c) { return upper ? (c >= 'A' && c <= 'Z') : (c >= 'a' && c <= 'z'); });
}

std::string lower_case(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

bool is_letter_of_the_standard(const std::string& letter) {
  const std::string lower = lower_case(letter);
  // 30 mm has a value for all but the letters of small sizes.
  return lower == "js" || lower == "j" || shaft_deviation_um(30, lower) || shaft_deviation_um(8, lower);
}

// a and b, and grades above IT13, begin above 1 mm (footnotes of the tables).
bool begins_above_1_mm(const std::string& letter, int grade) {
  return letter == "a" || letter == "b" || grade > 13;
}

SizeLimits about_zero(double width) {
  return {-width / 2, width / 2};
}

std::optional<SizeLimits> shaft_limits(double size_mm, const std::string& letter, int grade, double width) {
  if (letter == "j") {
    const auto lower = shaft_j_lower_um(size_mm, grade);
    if (!lower) return std::nullopt;
    return SizeLimits{*lower, *lower + width};
  }
  auto deviation = shaft_deviation_um(size_mm, letter);
  if (!deviation) return std::nullopt;
  if (letter <= "h") return SizeLimits{*deviation - width, *deviation};
  if (letter == "k" && (grade < 4 || grade > 7)) deviation = 0;
  return SizeLimits{*deviation, *deviation + width};
}

// K to ZC: upper deviation of the hole.
std::optional<double> upper_below_zero_um(double size_mm, const std::string& letter, int grade) {
  // The table of delta begins with IT3.
  if (grade < 3) return std::nullopt;
  const bool small = size_mm <= 3;
  const bool transition = letter == "k" || letter == "m" || letter == "n";
  if (grade > 8 && letter == "k") return small ? std::optional(0.0) : std::nullopt;
  if (grade > 8 && letter == "n") return small ? -4.0 : 0.0;
  // The one value that leaves the rule: M6 over 250 to 315 mm is -9, not -11 (footnote of the table).
  if (letter == "m" && grade == 6 && size_mm > 250 && size_mm <= 315) return -9;
  const auto shaft = shaft_deviation_um(size_mm, letter);
  if (!shaft) return std::nullopt;
  const bool corrected = !small && grade <= (transition ? 8 : 7);
  const double delta =
      corrected ? standard_tolerance_um(size_mm, grade) - standard_tolerance_um(size_mm, grade - 1) : 0;
  return -*shaft + delta;
}

std::optional<SizeLimits> hole_limits(double size_mm, const std::string& letter, int grade, double width) {
  if (letter == "j") {
    const auto upper = hole_j_upper_um(size_mm, grade);
    if (!upper) return std::nullopt;
    return SizeLimits{*upper - width, *upper};
  }
  if (letter <= "h") {
    const auto shaft = shaft_deviation_um(size_mm, letter);
    if (!shaft) return std::nullopt;
    return SizeLimits{0 - *shaft, width - *shaft};  // not -0 for H
  }
  const auto upper = upper_below_zero_um(size_mm, letter, grade);
  if (!upper) return std::nullopt;
  return SizeLimits{*upper - width, *upper};
}

}  // namespace

std::optional<ToleranceClass> tolerance_class_named(std::string_view text) {
  const std::size_t digits = std::min(text.find_first_of("0123456789"), text.size());
  const std::string letter(text.substr(0, digits));
  const std::string_view number = text.substr(digits);
  if (letter.empty() || letter.size() > 2 || number.empty() || number.size() > 2) return std::nullopt;
  if (number.find_first_not_of("0123456789") != std::string_view::npos || number.front() == '0')
    return std::nullopt;
  const int grade = std::stoi(std::string(number));
  if (grade < finest_it_grade || grade > coarsest_it_grade) return std::nullopt;
  if (!all_of_case(letter, true) && !all_of_case(letter, false)) return std::nullopt;
  if (!is_letter_of_the_standard(letter)) return std::nullopt;
  return ToleranceClass{letter, grade};
}

std::optional<SizeLimits> limits_of(double size_mm, const ToleranceClass& tolerance) {
  const std::string letter = lower_case(tolerance.letter);
  if (size_mm <= 1 && begins_above_1_mm(letter, tolerance.grade)) return std::nullopt;
  const double width = standard_tolerance_um(size_mm, tolerance.grade);
  if (letter == "js") return about_zero(width);
  const auto limits = tolerance.hole() ? hole_limits : shaft_limits;
  return limits(size_mm, letter, tolerance.grade, width);
}

}  // namespace boxfettle
