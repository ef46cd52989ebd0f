#include "demo/invented_cores.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

namespace boxfettle::demo {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

struct Recipe {
  const char* id;
  InventedCore (*make)(double);
  Vector3d about_mm;  // size of the core
};

class InventedCores : public testing::TestWithParam<Recipe> {};

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

// Height over longest side: 0.87 for an equal-sided triangle, 0 for one of no area.
double fatness(const TriangleMesh& mesh, std::size_t t) {
  double longest = 0;
  for (int i = 0; i < 3; ++i)
    longest = std::max(longest, (mesh.corner(t, i) - mesh.corner(t, (i + 1) % 3)).norm());
  return doubled_area_vector(mesh, t).norm() / (longest * longest);
}

double nearest_vertex_mm(const TriangleMesh& mesh, const Vector3d& at_mm) {
  double nearest = 1e300;
  for (const Vector3d& vertex : mesh.vertices) nearest = std::min(nearest, (vertex - at_mm).norm());
  return nearest;
}

TEST_P(InventedCores, IsClosedOutwardAndWithoutSlivers) {
  const TriangleMesh design = GetParam().make(0).design;
  EXPECT_GE(design.triangles.size(), 100000u);
  EXPECT_LE(design.triangles.size(), 500000u);
  EXPECT_EQ(open_or_crowded_edges(design), 0u);
  EXPECT_GT(enclosed_volume_mm3(design), 0);
  for (std::size_t t = 0; t < design.triangles.size(); ++t) ASSERT_GT(fatness(design, t), 0.01);
}

TEST_P(InventedCores, IsOnePieceWithoutBubbles) {
  // Two shells, or one with a hollow in it, would leave a vertex that no way along the edges joins to the
  // first.
  const TriangleMesh design = GetParam().make(2.5).design;
  std::vector<std::uint32_t> lower(
      design.vertices.size());  // each vertex's neighbour of lower number, or itself
  for (std::uint32_t i = 0; i < lower.size(); ++i) lower[i] = i;
  const auto lowest = [&](std::uint32_t vertex) {
    while (lower[vertex] != vertex) vertex = lower[vertex] = lower[lower[vertex]];
    return vertex;
  };
  for (const Triangle& t : design.triangles)
    for (std::size_t i = 0; i < 2; ++i) {
      const auto [low, high] = std::minmax({lowest(t[i]), lowest(t[i + 1])});
      lower[high] = low;
    }
  for (std::uint32_t i = 0; i < lower.size(); ++i) ASSERT_EQ(lowest(i), 0u);
}

TEST_P(InventedCores, HasThePromisedSizeAndStandsOnBothSidesOfTheParting) {
  const InventedCore core = GetParam().make(2);
  const Bounds box = bounds(core.design);
  for (int axis = 0; axis < 3; ++axis)
    EXPECT_NEAR((box.high - box.low)[axis], GetParam().about_mm[axis], 6) << "axis " << axis;
  EXPECT_LT(box.low.z(), -20);
  EXPECT_GT(box.high.z(), 20);
}

TEST_P(InventedCores, ATwoTimesCoarserMeshEnclosesTheSameVolume) {
  const double fine = enclosed_volume_mm3(GetParam().make(1.2).design);
  const double coarse = enclosed_volume_mm3(GetParam().make(2.4).design);
  EXPECT_NEAR(coarse / fine, 1, 0.005);  // chords of curves of a few mm, cut at 2.4 mm
}

// What turns one half into the other, or the core onto itself, would let a pose be mistaken.
TEST_P(InventedCores, NoTurnByHalfPutsTheCoreOntoItself) {
  const TriangleMesh design = GetParam().make(3).design;
  const Vector3d centre = bounds(design).centre();
  for (int axis = 0; axis < 3; ++axis) {
    double worst = 0;
    for (std::size_t i = 0; i < design.vertices.size(); i += 7) {
      Vector3d turned = centre - (design.vertices[i] - centre);
      turned[axis] = design.vertices[i][axis];
      worst = std::max(worst, nearest_vertex_mm(design, turned));
    }
    EXPECT_GT(worst, 8) << "half a turn about axis " << axis;
  }
}

TEST_P(InventedCores, VentsAndBlowInletsLieOnTheCoresSurface) {
  const InventedCore core = GetParam().make(0);
  EXPECT_GE(core.box.vents.size(), 8u);
  EXPECT_GE(core.box.blow_inlets.size(), 1u);
  for (const Vent& vent : core.box.vents) {
    EXPECT_LT(nearest_vertex_mm(core.design, vent.at_design_mm), 0.01) << vent.id;
    EXPECT_EQ(vent.half == Half::upper, core.box.parting.height_mm(vent.at_design_mm) > 0) << vent.id;
  }
  for (const BlowInlet& inlet : core.box.blow_inlets)
    EXPECT_LT(nearest_vertex_mm(core.design, inlet.at_design_mm), 0.01) << inlet.id;
}

TEST_P(InventedCores, NoTwoVentsOrInletsFallOnOneAnother) {
  const CoreBox box = GetParam().make(0).box;
  std::vector<Vector3d> places;
  for (const Vent& vent : box.vents) places.push_back(vent.at_design_mm);
  for (const BlowInlet& inlet : box.blow_inlets) places.push_back(inlet.at_design_mm);
  for (std::size_t i = 0; i < places.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) EXPECT_GT((places[i] - places[j]).norm(), 10) << i << " and " << j;
}

TEST_P(InventedCores, DowelsClampsAndFeelersKeepClearOfTheCavity) {
  const InventedCore core = GetParam().make(2);
  std::vector<Vector2d> fittings;
  for (const Dowel& dowel : core.box.dowels) fittings.push_back(dowel.at_parting_mm);
  for (const Clamp& clamp : core.box.clamps) fittings.push_back(clamp.at_parting_mm);
  for (const GapReading& reading : core.box.gap_readings) fittings.push_back(reading.at_parting_mm);
  EXPECT_GE(core.box.dowels.size(), 2u);
  EXPECT_LE(core.box.dowels.size(), 4u);
  for (const Vector2d& fitting : fittings)
    for (const Vector3d& vertex : core.design.vertices)
      ASSERT_GT((core.box.parting.at_parting_mm(vertex) - fitting).norm(), 9) << fitting.transpose();
}

TEST_P(InventedCores, ComesOutTheSameEachTime) {
  const InventedCore once = GetParam().make(2), again = GetParam().make(2);
  EXPECT_TRUE(once.design.vertices == again.design.vertices);
  EXPECT_TRUE(once.design.triangles == again.design.triangles);
}

INSTANTIATE_TEST_SUITE_P(Tarnmoor, InventedCores,
                         testing::Values(Recipe{"volute", pump_volute, {300, 260, 80}},
                                         Recipe{"jacket", ribbed_jacket, {260, 160, 110}},
                                         Recipe{"valve", stepped_valve_body, {240, 120, 100}}),
                         [](const auto& recipe) { return std::string(recipe.param.id); });

TEST(SteppedValveBody, EachLoosePieceHoldsItsBossAndKeepsToOneHalf) {
  const InventedCore core = stepped_valve_body(1.5);
  ASSERT_EQ(core.box.loose_pieces.size(), 2u);
  for (const LoosePiece& piece : core.box.loose_pieces) {
    const double low = core.box.parting.height_mm(piece.region_min_mm);
    const double high = core.box.parting.height_mm(piece.region_max_mm);
    EXPECT_GT(low * high, 0) << piece.id;
    const auto held =
        std::count_if(core.design.vertices.begin(), core.design.vertices.end(), [&](const Vector3d& v) {
          return (v.array() >= piece.region_min_mm.array()).all() &&
                 (v.array() <= piece.region_max_mm.array()).all();
        });
    EXPECT_GT(held, 200) << piece.id;
  }
}

}  // namespace
}  // namespace boxfettle::demo
