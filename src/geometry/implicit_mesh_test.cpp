#include "geometry/implicit_mesh.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <utility>

#include "geometry/cell_sheets.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;

Bounds cube(double half_side_mm) {
  Bounds box;
  box.include(Vector3d::Constant(-half_side_mm));
  box.include(Vector3d::Constant(half_side_mm));
  return box;
}

// Edges that are not run along exactly once in each direction.
std::size_t open_or_crowded_edges(const TriangleMesh& mesh) {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> there, back;
  for (const Triangle& t : mesh.triangles)
    for (std::size_t i = 0; i < 3; ++i) {
      there.emplace_back(t[i], t[(i + 1) % 3]);
      back.emplace_back(t[(i + 1) % 3], t[i]);
    }
  std::sort(there.begin(), there.end());
  std::sort(back.begin(), back.end());
  std::size_t wrong = 0;
  for (std::size_t i = 0; i + 1 < there.size(); ++i) wrong += there[i] == there[i + 1];
  for (std::size_t i = 0; i < there.size(); ++i) wrong += there[i] != back[i];
  return wrong;
}

constexpr double radius_mm = 10;
double ball(const Vector3d& p) {
  return (p - Vector3d(0.13, -0.21, 0.37)).norm() - radius_mm;
}

struct BallError {
  double volume_mm3, area_mm2;
};
BallError ball_error(double cell_mm) {
  const TriangleMesh mesh = mesh_of_implicit(ball, cube(11), {.cell_mm = cell_mm, .steepest_slope = 1});
  const double pi = std::numbers::pi;
  return {std::abs(enclosed_volume_mm3(mesh) - 4 / 3.0 * pi * std::pow(radius_mm, 3)),
          std::abs(area_mm2(mesh) - 4 * pi * radius_mm * radius_mm)};
}

TEST(ImplicitMesh, HalvingTheCellQuartersTheErrorOfABallsVolumeAndArea) {
  const BallError coarse = ball_error(1.0), fine = ball_error(0.5);
  // Second order means a ratio of 4; the grid falls differently on the ball at each size, hence 3 to 5.
  EXPECT_NEAR(coarse.volume_mm3 / fine.volume_mm3, 4, 1);
  EXPECT_NEAR(coarse.area_mm2 / fine.area_mm2, 4, 1);
}

TEST(ImplicitMesh, EveryVertexLiesOnTheSurface) {
  const TriangleMesh mesh = mesh_of_implicit(ball, cube(11), {.cell_mm = 0.7});
  ASSERT_FALSE(mesh.vertices.empty());
  for (const Vector3d& vertex : mesh.vertices) EXPECT_NEAR(ball(vertex), 0, 1e-8);
}

TEST(ImplicitMesh, SkippingBlocksFarFromTheSurfaceChangesNothing) {
  const TriangleMesh all = mesh_of_implicit(ball, cube(20), {.cell_mm = 0.9});
  const TriangleMesh skipped = mesh_of_implicit(ball, cube(20), {.cell_mm = 0.9, .steepest_slope = 1});
  EXPECT_TRUE(all.triangles == skipped.triangles);
  EXPECT_TRUE(all.vertices == skipped.vertices);
}

TEST(ImplicitMesh, ABallHasNoSlivers) {
  const TriangleMesh mesh = mesh_of_implicit(ball, cube(11), {.cell_mm = 0.5});
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    double longest = 0;
    for (int i = 0; i < 3; ++i)
      longest = std::max(longest, (mesh.corner(t, i) - mesh.corner(t, (i + 1) % 3)).norm());
    // Height over longest side; 0.87 for an equal-sided triangle.
    EXPECT_GT(doubled_area_vector(mesh, t).norm() / (longest * longest), 0.05);
  }
}

TEST(ImplicitMesh, ASolidThatReachesTheEdgeIsClosedThere) {
  const auto everything = [](const Vector3d&) { return -1.0; };
  const TriangleMesh mesh = mesh_of_implicit(everything, cube(5), {.cell_mm = 1});
  EXPECT_EQ(open_or_crowded_edges(mesh), 0u);
  EXPECT_GT(enclosed_volume_mm3(mesh), 900);
}

// Signs drawn at random: every way a cell can be crossed and every pair of neighbours occurs.
TEST(ImplicitMesh, AnyFieldOfSignsGivesAClosedManifold) {
  for (unsigned seed = 1; seed <= 40; ++seed) {
    const double threshold = 0.1 + 0.02 * seed;
    const auto noise = [&](const Vector3d& p) {
      std::seed_seq place{static_cast<unsigned>(std::lround(p.x()) + 1000),
                          static_cast<unsigned>(std::lround(p.y()) + 1000),
                          static_cast<unsigned>(std::lround(p.z()) + 1000), seed};
      return static_cast<double>(std::minstd_rand(place)()) / std::minstd_rand::max() - threshold;
    };
    const TriangleMesh mesh = mesh_of_implicit(noise, cube(8), {.cell_mm = 1, .newton_steps = 0});
    ASSERT_GT(mesh.triangles.size(), 1000u);
    EXPECT_EQ(open_or_crowded_edges(mesh), 0u) << "seed " << seed;
    EXPECT_GT(enclosed_volume_mm3(mesh), 0);
  }
}

TEST(ImplicitMesh, ACellOfNoSizeIsRefused) {
  EXPECT_THROW(mesh_of_implicit(ball, cube(11), {.cell_mm = 0}), std::invalid_argument);
  EXPECT_THROW(mesh_of_implicit(ball, Bounds{}, {.cell_mm = 1}), std::invalid_argument);
  EXPECT_THROW(mesh_of_implicit(ball, cube(11), {.cell_mm = 1e-3}), std::invalid_argument);
}

TEST(CellSheets, ACellWhoseFaceMustBeJoinedHasNoOtherAmbiguousFace) {
  // Joining one face then cannot undo what another decided.
  for (unsigned mask = 0; mask < 256; ++mask) {
    int twice = 0;
    for (int face = 0; face < 6; ++face) twice += one_sheet_twice(mask, face);
    EXPECT_LE(twice, 1) << mask;
  }
}

}  // namespace
}  // namespace boxfettle
