// The tables of ISO 286-1: standard tolerances and fundamental deviations, 1 to 500 mm, in micrometres. Where
// each value was found stands beside it in the .cpp. The standard's own text was not at hand: second-hand
// tables that agree with one another, and the check that upper - lower == IT, stand in for it.
#pragma once

#include <optional>
#include <string_view>

namespace boxfettle {

inline constexpr int finest_it_grade = 1;
inline constexpr int coarsest_it_grade = 18;

// Width of the tolerance zone. `size_mm` in [1, 500], `grade` in [1, 18]. ISO 286-1:2010, table 1.
double standard_tolerance_um(double size_mm, int grade);

// A shaft's fundamental deviation: es for a to h, ei for k to zc; k's holds for IT4 to IT7 only. Letters in
// lower case; j and js have none here. Empty when the letter is unknown or not given for that size. ISO
// 286-1:2010, tables 4 and 5.
std::optional<double> shaft_deviation_um(double size_mm, std::string_view letter);

// ei of j5 to j7 (j8 to 3 mm only), and ES of J6 to J8: single values without a rule. ISO 286-1:2010, tables
// 3, 5.
std::optional<double> shaft_j_lower_um(double size_mm, int grade);
std::optional<double> hole_j_upper_um(double size_mm, int grade);

}  // namespace boxfettle
