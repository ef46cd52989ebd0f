#include "paper/deviation_colours.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace boxfettle {
namespace {

// Bjoern Ottosson, 'A perceptual color space for image processing', 2020,
// bottosson.github.io/posts/oklab.
struct OkLab {
  double L, a, b;
};

OkLab polar(double L, double chroma, double hue_deg) {
  const double hue = hue_deg * std::numbers::pi / 180;
  return {L, chroma * std::cos(hue), chroma * std::sin(hue)};
}

struct Arm {
  OkLab near, far;
};

const OkLab within{0.84, 0, 0};
const Arm inside{polar(0.77, 0.06, 250), polar(0.38, 0.135, 262)};
const Arm outside{polar(0.77, 0.09, 62), polar(0.38, 0.095, 45)};

double srgb(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}

Rgb srgb_of(const OkLab& c) {
  const double l = std::pow(c.L + 0.3963377774 * c.a + 0.2158037573 * c.b, 3);
  const double m = std::pow(c.L - 0.1055613458 * c.a - 0.0638541728 * c.b, 3);
  const double s = std::pow(c.L - 0.0894841775 * c.a - 1.291485548 * c.b, 3);
  return {srgb(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s),
          srgb(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s),
          srgb(-0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s)};
}

OkLab between(const Arm& arm, double share) {
  return {std::lerp(arm.near.L, arm.far.L, share), std::lerp(arm.near.a, arm.far.a, share),
          std::lerp(arm.near.b, arm.far.b, share)};
}

}  // namespace

ColourScale colour_scale(double limit_mm, double largest_mm) {
  const double wanted = std::max({3 * limit_mm, largest_mm, 1e-3});
  const double power = std::pow(10, std::floor(std::log10(wanted)));
  constexpr std::array round{1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0};
  const auto step = std::find_if(round.begin(), round.end() - 1,
                                 [&](double one) { return one * power >= wanted * (1 - 1e-9); });
  return {limit_mm, *step * power};
}

Rgb colour_of(double deviation_mm, const ColourScale& scale) {
  const double size = std::abs(deviation_mm);
  if (size <= scale.limit_mm) return srgb_of(within);
  const double share = std::min(1.0, (size - scale.limit_mm) / (scale.range_mm - scale.limit_mm));
  return srgb_of(between(deviation_mm < 0 ? inside : outside, share));
}

}  // namespace boxfettle
