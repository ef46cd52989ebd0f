// Topology, refinement, sections and areas of surfaces whose shape is known.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "demo/invented_cores.hpp"
#include "geometry/implicit_mesh.hpp"
#include "geometry/mesh_topology.hpp"
#include "geometry/plane_section.hpp"
#include "geometry/refined_mesh.hpp"

namespace boxfettle {
namespace {

constexpr double pi = std::numbers::pi;

TriangleMesh ball(double radius_mm, double cell_mm) {
  Bounds within;
  within.include(Eigen::Vector3d::Constant(-1.2 * radius_mm));
  within.include(Eigen::Vector3d::Constant(1.2 * radius_mm));
  return mesh_of_implicit([=](const Eigen::Vector3d& p) { return p.norm() - radius_mm; }, within,
                          {cell_mm, 1.0});
}

TEST(MeshTopology, AClosedCoreHasNoOpenEdgeAndEveryNeighbourAnswersBack) {
  const TriangleMesh mesh = demo::ribbed_jacket(5.0).design;
  const MeshTopology topology = mesh_topology(mesh);
  EXPECT_TRUE(topology.closed());
  EXPECT_TRUE(topology.consistent());
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t)
    for (const std::uint32_t n : topology.neighbours[t]) {
      const auto& back = topology.neighbours[n];
      ASSERT_TRUE(back[0] == t || back[1] == t || back[2] == t);
    }
}

TEST(MeshTopology, AMissingTriangleOpensThreeEdgesAndAFlippedOneContradictsThree) {
  TriangleMesh holed = ball(20, 3), flipped = holed;
  holed.triangles.pop_back();
  EXPECT_EQ(mesh_topology(holed).open_edges, 3u);
  std::swap(flipped.triangles.front()[0], flipped.triangles.front()[1]);
  EXPECT_EQ(mesh_topology(flipped).contradicting_edges, 3u);
}

TEST(RefinedMesh, CutsLongEdgesWithoutMovingTheSurface) {
  TriangleMesh coarse = ball(30, 8);
  const TriangleMesh fine = refined_mesh(coarse, 2.0, 1000000);
  EXPECT_GT(fine.triangles.size(), 8 * coarse.triangles.size());
  EXPECT_NEAR(area_mm2(fine), area_mm2(coarse), 1e-9 * area_mm2(coarse));
  EXPECT_NEAR(enclosed_volume_mm3(fine), enclosed_volume_mm3(coarse), 1e-9 * enclosed_volume_mm3(coarse));
  EXPECT_TRUE(mesh_topology(fine).closed());
  EXPECT_TRUE(mesh_topology(fine).consistent());
  for (const Triangle& t : fine.triangles)
    for (std::size_t e = 0; e < 3; ++e)
      ASSERT_LE((fine.vertices[t[e]] - fine.vertices[t[(e + 1) % 3]]).norm(), 2.0);
}

TEST(RefinedMesh, StopsBeforeTheCountItMustNotPass) {
  EXPECT_LE(refined_mesh(ball(30, 8), 0.01, 20000).triangles.size(), 20000u);
}

TEST(PlaneSection, OfABallIsTheCircleOfThatHeight) {
  const double radius = 25, cell = 1;
  const TriangleMesh mesh = ball(radius, cell);
  for (const double height : {-20.0, -7.3, 0.0, 11.0}) {
    const std::vector<SectionLine> lines = plane_section(mesh, Eigen::Vector3d::UnitZ(), height);
    ASSERT_EQ(lines.size(), 1u);
    EXPECT_TRUE(lines[0].closed);
    const SectionArea area = section_area(lines, Eigen::Vector3d::UnitZ());
    const double circle = pi * (radius * radius - height * height);
    // A polygon of chords c loses c^2 / 6 r^2 of its circle; its corners lie on mesh edges, which sag by c^2
    // / 8 R below the ball. Edges are no longer than 1.5 cells.
    const double chord = 1.5 * cell,
                 lost = chord * chord * (1.0 / 6 + 1.0 / 4) / (radius * radius - height * height);
    EXPECT_LT(area.area_mm2, circle * (1 + 1e-9));
    EXPECT_GT(area.area_mm2, circle * (1 - lost));
    EXPECT_NEAR((area.centroid_mm - Eigen::Vector3d(0, 0, height)).norm(), 0, 0.02);
  }
}

TEST(PlaneSection, HolesOfACoreSubtract) {
  const demo::InventedCore jacket = demo::ribbed_jacket(3.0);
  const std::vector<SectionLine> lines = plane_section(
      jacket.design, jacket.box.parting.normal, jacket.box.parting.normal.dot(jacket.box.parting.point_mm));
  EXPECT_GT(lines.size(), 1u);
  double positive = 0, whole = section_area(lines, jacket.box.parting.normal).area_mm2;
  for (const SectionLine& line : lines) {
    EXPECT_TRUE(line.closed);
    positive += std::max(0.0, section_area({line}, jacket.box.parting.normal).area_mm2);
  }
  EXPECT_GT(whole, 0);
  EXPECT_LT(whole, positive);
}

// Cavalieri: the areas of all sections add up to the volume, which another formula gives.
TEST(PlaneSection, SectionsAddUpToTheVolume) {
  const TriangleMesh mesh = demo::stepped_valve_body(3.0).design;
  const Bounds box = bounds(mesh);
  const double step = 0.5;
  double sum = 0;
  for (double z = box.low.z() + step / 2; z < box.high.z(); z += step)
    sum += step *
           section_area(plane_section(mesh, Eigen::Vector3d::UnitZ(), z), Eigen::Vector3d::UnitZ()).area_mm2;
  EXPECT_NEAR(sum, enclosed_volume_mm3(mesh), 2e-3 * enclosed_volume_mm3(mesh));
}

}  // namespace
}  // namespace boxfettle
