#include "paper/deviation_colours.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <numbers>
#include <regex>
#include <string>

namespace boxfettle {
namespace {

std::string page_source() {
  std::ifstream in(std::string(BOXFETTLE_SOURCE_DIR) + "/web/src/reading/deviation_colours.ts");
  return {std::istreambuf_iterator<char>(in), {}};
}

struct OkLch {
  double L, chroma, hue_deg;
};

OkLch written(const std::string& source, const std::string& side, const std::string& end) {
  const std::regex line(side + " = \\{.*" + end + ": polar\\(([0-9.]+), ([0-9.]+), ([0-9.]+)\\)");
  std::smatch found;
  if (!std::regex_search(source, found, line)) return {};
  return {std::stod(found[1]), std::stod(found[2]), std::stod(found[3])};
}

double linear(double u) {
  return u <= 0.04045 ? u / 12.92 : std::pow((u + 0.055) / 1.055, 2.4);
}

OkLch seen(const Rgb& rgb) {
  const double r = linear(rgb[0]), g = linear(rgb[1]), b = linear(rgb[2]);
  const double l = std::cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const double m = std::cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const double s = std::cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  const double a = 1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s;
  const double c = 0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s;
  const double hue = std::atan2(c, a) * 180 / std::numbers::pi;
  return {0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s, std::hypot(a, c), hue < 0 ? hue + 360 : hue};
}

void expect_same(const OkLch& here, const OkLch& there) {
  ASSERT_GT(there.L, 0) << "the page's numbers were not found";
  // The published OKLab matrices are rounded; there and back agrees to about 1e-4.
  EXPECT_NEAR(here.L, there.L, 1e-3);
  EXPECT_NEAR(here.chroma, there.chroma, 1e-3);
  EXPECT_NEAR(here.hue_deg, there.hue_deg, 0.3);
}

TEST(DeviationColours, AWornPlaceIsPrintedInTheColourThePageShowsItIn) {
  const std::string page = page_source();
  const ColourScale scale{0.3, 0.9};
  const double just = 1e-9;
  expect_same(seen(colour_of(0.3 + just, scale)), written(page, "OUTSIDE", "near"));
  expect_same(seen(colour_of(0.9, scale)), written(page, "OUTSIDE", "far"));
  expect_same(seen(colour_of(-0.3 - just, scale)), written(page, "INSIDE", "near"));
  expect_same(seen(colour_of(-2.0, scale)), written(page, "INSIDE", "far"));
  EXPECT_NE(page.find("WITHIN: OkLab = { L: 0.84, a: 0, b: 0 }"), std::string::npos);
  EXPECT_NEAR(seen(colour_of(0.29, scale)).L, 0.84, 1e-3);
  EXPECT_NEAR(seen(colour_of(-0.29, scale)).chroma, 0, 1e-3);
}

TEST(DeviationColours, TheScaleIsARoundNumberAndLeavesTheToleranceABand) {
  EXPECT_DOUBLE_EQ(colour_scale(0.3, 0.0).range_mm, 1.0);  // three limits are 0.9; the next round number is 1
  EXPECT_DOUBLE_EQ(colour_scale(0.1, 0.31).range_mm, 0.4);
  EXPECT_DOUBLE_EQ(colour_scale(0.1, 1.17).range_mm, 1.2);
  EXPECT_NE(page_source().find("[1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10]"), std::string::npos);
}

}  // namespace
}  // namespace boxfettle
