#include "paper/core_view.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "demo/plain_solids.hpp"

namespace boxfettle {
namespace {

// Rings of latitude and longitude, radius 1 scaled by `radius_mm`.
TriangleMesh ball(double radius_mm, std::uint32_t rings) {
  TriangleMesh mesh;
  const std::uint32_t around = 2 * rings;
  for (std::uint32_t i = 0; i <= rings; ++i)
    for (std::uint32_t k = 0; k < around; ++k) {
      const double polar = std::numbers::pi * i / rings, turn = 2 * std::numbers::pi * k / around;
      mesh.vertices.push_back(radius_mm * Eigen::Vector3d(std::sin(polar) * std::cos(turn),
                                                          std::sin(polar) * std::sin(turn), std::cos(polar)));
    }
  for (std::uint32_t i = 0; i < rings; ++i)
    for (std::uint32_t k = 0; k < around; ++k) {
      const std::uint32_t a = i * around + k, b = i * around + (k + 1) % around;
      mesh.triangles.push_back({a, a + around, b + around});
      mesh.triangles.push_back({a, b + around, b});
    }
  return mesh;
}

double shown_area_mm2(const CoreView& view) {
  std::size_t covered = 0;
  for (const std::uint32_t t : view.triangle) covered += t != no_triangle;
  return static_cast<double>(covered) * view.frame.mm_per_pixel * view.frame.mm_per_pixel;
}

TEST(CoreView, ABallShowsACircleFromEverywhereAndItsNearestPointInTheMiddle) {
  const TriangleMesh core = ball(25, 120);
  for (const Eigen::Vector3d& eye : {Eigen::Vector3d(0, 0.1, 1), {1, 1, 1}, {-3, 0.4, 0.2}}) {
    const CoreView view = seen_core(core, fitted_frame(core, eye, {0, 1, 0}, 500, 400));
    // The silhouette of 240 sides is 0.03 % smaller than the circle; pixels along the rim average out to
    // about their fourth root over the whole: 0.1 % together.
    EXPECT_NEAR(shown_area_mm2(view) / (std::numbers::pi * 25 * 25), 1, 1e-3);
    EXPECT_NEAR(view.height_mm[view.pixel(250, 200)], 25, 0.02);
    const double off_mm = 80 * view.frame.mm_per_pixel;  // a pixel's middle is half a pixel off, hence 0.1
    EXPECT_NEAR(view.height_mm[view.pixel(330, 200)], std::sqrt(25 * 25 - off_mm * off_mm), 0.1);
    EXPECT_FALSE(view.covered(3, 3));
  }
}

TEST(CoreView, ABlockSeenOnItsCornerShowsThreeFacesInTheirProjectedSizes) {
  TriangleMesh core;
  demo::add(core, demo::block({30, 20, 10}));
  const Eigen::Vector3d eye = Eigen::Vector3d(1, 2, 3).normalized();
  const CoreView view = seen_core(core, fitted_frame(core, eye, {0, 0, 1}, 900, 700));
  // Each face in front projects to its area times the cosine to the eye.
  const double expected = 20 * 10 * eye.x() + 30 * 10 * eye.y() + 30 * 20 * eye.z();
  EXPECT_NEAR(shown_area_mm2(view) / expected, 1, 2e-3);
}

TEST(CoreView, WhatStandsInFrontHidesWhatStandsBehindWhicheverIsDrawnFirst) {
  for (const bool near_first : {true, false}) {
    TriangleMesh core;
    const Eigen::Vector3d near_low{5, 5, 30}, far_low{0, 0, 0};
    const TriangleMesh near = demo::block({10, 10, 5}, near_low), far = demo::block({40, 40, 5}, far_low);
    demo::add(core, near_first ? near : far);
    demo::add(core, near_first ? far : near);
    const CoreView view = seen_core(core, fitted_frame(core, {0, 0, 1}, {0, 1, 0}, 404, 404));
    EXPECT_TRUE(view.shows({10, 10, 35}, 0.1));
    EXPECT_FALSE(view.shows({10, 10, 5}, 0.1)) << "hidden under the near block";
    EXPECT_TRUE(view.shows({30, 30, 5}, 0.1));
    EXPECT_FALSE(view.shows({30, 30, 0}, 0.1)) << "the far block's own back";
    EXPECT_FALSE(view.shows({400, 0, 0}, 0.1)) << "outside the picture";
    double near_pixels = 0;
    for (const float h : view.height_mm) near_pixels += h > 10;
    EXPECT_NEAR(near_pixels * std::pow(view.frame.mm_per_pixel, 2), 100, 2.1);  // one row of pixels each way
  }
}

TEST(CoreView, APixelLiesBetweenTheCornersOfTheTriangleItShows) {
  const TriangleMesh core = ball(10, 24);
  const CoreView view = seen_core(core, fitted_frame(core, {0.3, -1, 0.5}, {0, 0, 1}, 200, 200));
  for (int y = 10; y < 190; y += 9)
    for (int x = 10; x < 190; x += 9) {
      if (!view.covered(x, y)) continue;
      const std::uint32_t t = view.triangle[view.pixel(x, y)];
      const Eigen::Vector3d share = corner_shares(core, t, view.frame, x, y);
      EXPECT_NEAR(share.sum(), 1, 1e-9);
      EXPECT_GT(share.minCoeff(), -1e-6);
      Eigen::Vector3d at = Eigen::Vector3d::Zero();
      for (int k = 0; k < 3; ++k) at += share[k] * core.corner(t, k);
      EXPECT_NEAR(view.frame.at_picture(at).x(), x + 0.5, 1e-6);
      EXPECT_NEAR(view.frame.at_picture(at).y(), y + 0.5, 1e-6);
    }
}

}  // namespace
}  // namespace boxfettle
