// A tolerance class such as H7 or g6 and the limits it sets, ISO 286-1.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace boxfettle {

struct ToleranceClass {
  std::string letter;  // "H" for holes (bushes), "g" for shafts (pins)
  int grade;           // 1 to 18
  bool hole() const { return letter.front() <= 'Z'; }
  std::string text() const { return letter + std::to_string(grade); }

  bool operator==(const ToleranceClass&) const = default;
};

// "H7", "js6", "ZA8"; empty when the text is no such class.
std::optional<ToleranceClass> tolerance_class_named(std::string_view text);

// Deviations from the nominal size.
struct SizeLimits {
  double lower_um, upper_um;
};

// `size_mm` in [1, 500]. Empty when the standard gives no such class for that size (t below 24 mm, K9 above 3
// mm). Holes follow ISO 286-1:2010, 4.3.2.5: EI = -es for A to H; ES = -ei, plus delta = IT(n) - IT(n-1) for
// K, M, N up to IT8 and P to ZC up to IT7 above 3 mm. docs/how/fits.md
std::optional<SizeLimits> limits_of(double size_mm, const ToleranceClass& tolerance);

}  // namespace boxfettle
