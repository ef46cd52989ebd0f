#include "paper/shaded_core.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

namespace boxfettle {
namespace {

// A flat plate seen square: light is the same all over it.
struct Plate {
  TriangleMesh mesh;
  CoreView view;
};

Plate plate() {
  TriangleMesh mesh;
  mesh.vertices = {{0, 0, 0}, {20, 0, 0}, {20, 20, 0}, {0, 20, 0}};
  mesh.triangles = {{0, 1, 2}, {0, 2, 3}};
  const ViewFrame frame = fitted_frame(mesh, {0, 0, 1}, {0, 1, 0}, 80, 80);
  return {mesh, seen_core(mesh, frame)};
}

std::array<int, 3> colour(const Picture& picture, int x, int y) {
  const std::uint32_t p = picture.pixels[static_cast<std::size_t>(y * picture.width + x)];
  return {static_cast<int>(p >> 16 & 255), static_cast<int>(p >> 8 & 255), static_cast<int>(p & 255)};
}

Picture painted(float deviation) {
  const Plate p = plate();
  const std::vector<float> all(4, deviation);
  const std::vector<std::uint16_t> none(4, 0);
  return shaded_core(p.mesh, {all, none, {0.3, 1.0}}, p.view);
}

TEST(ShadedCore, AWornPlaceIsWarmABuiltUpPlaceIsColdAndTheRestGrey) {
  const auto grey = colour(painted(0.1f), 20, 20), warm = colour(painted(0.8f), 20, 20),
             cold = colour(painted(-0.8f), 20, 20);
  EXPECT_EQ(grey[0], grey[2]);
  EXPECT_GT(warm[0], warm[2] + 40);
  EXPECT_GT(cold[2], cold[0] + 40);
}

TEST(ShadedCore, LightDarkensAColourByAThirdAtMost) {
  const Rgb full = colour_of(0.1, {0.3, 1.0});
  const auto lit = colour(painted(0.1f), 20, 20);
  EXPECT_GE(lit[0], std::floor(255 * full[0] * 0.66));
  EXPECT_LE(lit[0], std::ceil(255 * full[0]));
}

TEST(ShadedCore, WhatTheScanDidNotSeeIsHatchedInTwoTones) {
  const Picture unseen = painted(std::numeric_limits<float>::quiet_NaN());
  int light = 0, dark = 0;
  for (int y = 10; y < 30; ++y)
    for (int x = 10; x < 30; ++x) (colour(unseen, x, y)[0] > 180 ? light : dark) += 1;
  EXPECT_GT(light, 100);
  EXPECT_GT(dark, 60);
}

TEST(ShadedCore, ThePaperAroundTheCoreStaysWhite) {
  EXPECT_EQ(painted(0).pixels.front(), 0xffffffu);
}

}  // namespace
}  // namespace boxfettle
