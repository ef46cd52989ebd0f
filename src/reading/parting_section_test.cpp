#include "reading/parting_section.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/refined_mesh.hpp"

namespace boxfettle {
namespace {

constexpr double pi = std::numbers::pi;

// A tower standing through the face z = 0: `sides` equal walls about a circle of this radius at z = 0, which
// lean outward by `lean` mm per mm of height.
TriangleMesh tower(double radius_mm, double lean, std::uint32_t sides) {
  TriangleMesh mesh;
  for (const double z : {-10.0, 10.0})
    for (std::uint32_t i = 0; i < sides; ++i) {
      const double turn = 2 * pi * i / sides, r = radius_mm + lean * z;
      mesh.vertices.emplace_back(r * std::cos(turn), r * std::sin(turn), z);
    }
  for (std::uint32_t i = 0; i < sides; ++i) {
    const std::uint32_t a = i, b = (i + 1) % sides;
    mesh.triangles.push_back({a, b, b + sides});
    mesh.triangles.push_back({a, b + sides, a + sides});
  }
  return refined_mesh(mesh, 2.0, 1'000'000);
}

double area_mm2(const Polyline& line) {
  double area = 0;
  for (std::size_t i = 0; i < line.points_mm.size(); ++i) {
    const auto& a = line.points_mm[i];
    const auto& b = line.points_mm[(i + 1) % line.points_mm.size()];
    area += 0.5 * (a.x() * b.y() - a.y() * b.x());
  }
  return area;
}

const PartingFace face = PartingFace::through({0, 0, 0}, {0, 0, 1});

TEST(PartingSection, OfAWornRoundCoreHasTheAreaAndLengthOfTheLargerCircle) {
  const TriangleMesh core = tower(25, 0, 360);
  const std::vector<float> worn(core.vertices.size(), 0.4f);
  const PartingSection section = parting_section(core, worn, face);
  ASSERT_EQ(section.design.size(), 1u);
  ASSERT_EQ(section.measured.size(), 1u);
  EXPECT_TRUE(section.measured[0].closed);
  // 360 sides: the polygon's area is smaller than the circle's by (2 pi / 360)^2 / 6 = 5e-5, its length by a
  // quarter of that.
  EXPECT_NEAR(area_mm2(section.design[0]) / (pi * 25 * 25), 1, 6e-5);
  EXPECT_NEAR(area_mm2(section.measured[0]) / (pi * 25.4 * 25.4), 1, 6e-5);
  EXPECT_NEAR(length_mm(section.design[0]) / (2 * pi * 25), 1, 2e-5);
  EXPECT_NEAR(length_mm(section.measured[0]) / (2 * pi * 25.4), 1, 2e-5);
}

TEST(PartingSection, OfALeaningWallMovesFurtherThanItsDeviation) {
  const double lean = 0.5;  // the wall stands at atan(0.5) to the normal
  const TriangleMesh core = tower(40, lean, 360);
  const std::vector<float> lost(core.vertices.size(), -0.3f);
  const PartingSection section = parting_section(core, lost, face);
  const double radius = 40 - 0.3 * std::sqrt(1 + lean * lean);
  EXPECT_NEAR(area_mm2(section.measured[0]) / (pi * radius * radius), 1, 1e-4);
}

TEST(PartingSection, BetweenHalvesThatStandApartLiesInTheMiddle) {
  const TriangleMesh core = tower(25, 0, 360);
  std::vector<float> apart(core.vertices.size());
  for (std::size_t v = 0; v < apart.size(); ++v) apart[v] = core.vertices[v].z() >= 0 ? 0.3f : -0.1f;
  const PartingSection section = parting_section(core, apart, face);
  EXPECT_NEAR(area_mm2(section.measured[0]) / (pi * 25.1 * 25.1), 1, 1e-4);
}

TEST(PartingSection, WhereTheScanSawNothingNothingIsDrawn) {
  const TriangleMesh core = tower(25, 0, 360);
  std::vector<float> half(core.vertices.size(), 0.2f);
  for (std::size_t v = 0; v < half.size(); ++v)
    if (core.vertices[v].x() < 0) half[v] = std::numeric_limits<float>::quiet_NaN();
  const PartingSection section = parting_section(core, half, face);
  ASSERT_EQ(section.measured[0].points_mm.size(), section.design[0].points_mm.size());
  const std::vector<Polyline> seen = seen_stretches(section.measured[0]);
  ASSERT_EQ(seen.size(), 1u);
  EXPECT_FALSE(seen[0].closed);
  // Half of the circle, to a triangle at either end.
  EXPECT_NEAR(length_mm(seen[0]), pi * 25.2, 4.0);
  for (const Eigen::Vector3d& p : seen[0].points_mm) EXPECT_NEAR(p.norm(), 25.2, 0.01);
}

TEST(PartingSection, AnOpenLineCutTwiceGivesThreeStretches) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const Eigen::Vector3d gap(nan, nan, nan);
  const Polyline line{{{0, 0, 0}, {1, 0, 0}, gap, {3, 0, 0}, {4, 0, 0}, {5, 0, 0}, gap, {7, 0, 0}, {8, 0, 0}},
                      false};
  const std::vector<Polyline> seen = seen_stretches(line);
  ASSERT_EQ(seen.size(), 3u);
  EXPECT_DOUBLE_EQ(length_mm(seen[1]), 2.0);
}

}  // namespace
}  // namespace boxfettle
