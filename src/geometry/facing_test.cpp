#include "geometry/facing.hpp"

#include <gtest/gtest.h>

#include <random>

#include "demo/invented_cores.hpp"

namespace boxfettle {
namespace {

const TriangleMesh& volute() {
  static const TriangleMesh mesh = demo::pump_volute(5.0).design;
  return mesh;
}

TEST(Facing, TrianglesTurnedByAccidentAreTurnedBack) {
  TriangleMesh mesh = volute();
  std::mt19937 random(5);
  std::size_t spoilt = 0;
  for (Triangle& t : mesh.triangles)
    if (random() % 5 == 0) {
      std::swap(t[1], t[2]);
      ++spoilt;
    }
  const auto turned = agree_on_facing(mesh, mesh_topology(mesh));
  ASSERT_TRUE(turned);
  EXPECT_EQ(*turned, spoilt);
  EXPECT_EQ(mesh_topology(mesh).contradicting_edges, 0u);
  EXPECT_NEAR(enclosed_volume_mm3(mesh), enclosed_volume_mm3(volute()), 1e-6 * enclosed_volume_mm3(volute()));
}

TEST(Facing, ASoundSurfaceIsLeftAlone) {
  TriangleMesh mesh = volute();
  EXPECT_EQ(agree_on_facing(mesh, mesh_topology(mesh)), std::size_t{0});
  EXPECT_EQ(mesh.triangles, volute().triangles);
}

// A strip of triangles joined end to end after half a twist has one side only.
TEST(Facing, AOneSidedSurfaceIsRefused) {
  constexpr std::uint32_t steps = 24;
  TriangleMesh band;
  for (std::uint32_t i = 0; i < steps; ++i) {
    const double turn = 2 * 3.14159265358979 * i / steps;
    const Eigen::Vector3d middle(30 * std::cos(turn), 30 * std::sin(turn), 0);
    const Eigen::Vector3d across =
        std::cos(turn / 2) * middle.normalized() + std::sin(turn / 2) * Eigen::Vector3d::UnitZ();
    band.vertices.push_back(middle - 5 * across);
    band.vertices.push_back(middle + 5 * across);
  }
  for (std::uint32_t i = 0; i < steps; ++i) {
    const bool last = i + 1 == steps;
    const std::uint32_t a = 2 * i, b = 2 * i + 1, c = last ? 1 : 2 * i + 2, d = last ? 0 : 2 * i + 3;
    band.triangles.push_back({a, b, c});
    band.triangles.push_back({b, d, c});
  }
  const TriangleMesh before = band;
  EXPECT_FALSE(agree_on_facing(band, mesh_topology(band)));
  EXPECT_EQ(band.triangles, before.triangles);
}

}  // namespace
}  // namespace boxfettle
