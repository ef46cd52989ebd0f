#include "geometry/closest_point.hpp"

#include <gtest/gtest.h>
#include <tbb/task_arena.h>

#include <cmath>
#include <numbers>

#include "demo/invented_cores.hpp"
#include "demo/plain_solids.hpp"
#include "demo/scattered_points.hpp"
#include "geometry/implicit_mesh.hpp"
#include "geometry/morton_order.hpp"
#include "geometry/near_surface_grid.hpp"
#include "geometry/point_triangle.hpp"

namespace boxfettle {
namespace {

const TriangleMesh& volute() {
  static const TriangleMesh mesh = demo::pump_volute(3.0).design;
  return mesh;
}

double nearest_of_all(const TriangleMesh& mesh, const Eigen::Vector3d& p) {
  double best = 1e300;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    best = std::min(
        best,
        (closest_on_triangle(p, mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2)).at_mm - p).norm());
  return best;
}

TEST(SurfaceIndex, GivesTheSignedDistanceToABlockOnAllItsFacesEdgesAndCorners) {
  const TriangleMesh mesh = demo::block({40, 30, 20});
  const SurfaceIndex index(mesh);
  EXPECT_NEAR(index.closest(Eigen::Vector3d{20, 15, 25}).signed_mm, 5, 1e-12);
  EXPECT_NEAR(index.closest(Eigen::Vector3d{20, 15, 18}).signed_mm, -2, 1e-12);
  EXPECT_NEAR(index.closest(Eigen::Vector3d{43, 34, 10}).signed_mm, 5, 1e-12);
  EXPECT_NEAR(index.closest(Eigen::Vector3d{42, 33, 26}).signed_mm, 7, 1e-12);
  EXPECT_NEAR(index.closest(Eigen::Vector3d{39, 29, 19}).signed_mm, -1, 1e-12);
}

// A cone of uneven facets on a base, its tip at the origin and its foot below.
TriangleMesh uneven_cone(int facets) {
  TriangleMesh cone;
  cone.vertices = {{0, 0, 0}, {0, 0, -20}};
  for (int i = 0; i < facets; ++i) {  // most of them narrow and on one side
    const double angle = 2 * std::numbers::pi * std::pow(static_cast<double>(i) / facets, 3);
    cone.vertices.emplace_back(6 * std::cos(angle), 6 * std::sin(angle), -20);
  }
  for (int i = 0; i < facets; ++i) {
    const auto a = static_cast<std::uint32_t>(2 + i), b = static_cast<std::uint32_t>(2 + (i + 1) % facets);
    cone.triangles.push_back({0, a, b});
    cone.triangles.push_back({1, b, a});
  }
  return cone;
}

// Weighed evenly instead of by their angles, the many narrow facets would have their way.
TEST(SurfaceIndex, ASpikesTipIsSeenFromOutsideAndADimplesFromInsideWhateverItsFacets) {
  const TriangleMesh spike = uneven_cone(60);
  TriangleMesh dimple = spike;
  for (Triangle& t : dimple.triangles) std::swap(t[1], t[2]);
  const SurfaceIndex outside(spike), inside(dimple);
  for (int i = 0; i < 24; ++i) {
    const double angle = 2 * std::numbers::pi * i / 24;
    // As far aslant as the tip is still the nearest place.
    const Eigen::Vector3d point(2.7 * std::cos(angle), 2.7 * std::sin(angle), 1);
    ASSERT_NEAR(outside.closest(point).signed_mm, point.norm(), 1e-12) << i;
    ASSERT_NEAR(inside.closest(point).signed_mm, -point.norm(), 1e-12) << i;
  }
}

TEST(SurfaceIndex, FindsWhatLookingAtEveryTriangleFinds) {
  const TriangleMesh mesh = demo::stepped_valve_body(8.0).design;
  const SurfaceIndex index(mesh);
  const PointCloud cloud = demo::points_about(mesh, 300, 6.0, 7);
  for (std::size_t i = 0; i < cloud.size(); ++i)
    ASSERT_NEAR(std::abs(index.closest(cloud.point_mm(i)).signed_mm), nearest_of_all(mesh, cloud.point_mm(i)),
                1e-9);
}

// The one-point search in double is the witness of the packets in float.
TEST(SurfaceIndex, PacketsOfPointsAgreeWithOnePointAtATimeToAMillionthOfAMillimetre) {
  const SurfaceIndex index(volute());
  // Far away the search compares squared distances in float: two triangles whose distances agree to 2e-7 of
  // themselves may be taken for each other.
  for (const auto& [spread_mm, share] : {std::pair{0.05, 0.0}, {2.0, 0.0}, {40.0, 2e-7}}) {
    const PointCloud cloud = in_morton_order(demo::points_about(volute(), 20000, spread_mm, 11));
    const std::vector<SurfaceHit> hits = index.closest(cloud, RigidPose{});
    double worst = 0;
    for (std::size_t i = 0; i < cloud.size(); ++i) {
      const double witness = index.closest(cloud.point_mm(i)).signed_mm;
      // A float holds the answer: its own rounding is not the search's error.
      worst = std::max(worst, std::abs(hits[i].signed_mm - witness) - (share + 6e-8) * std::abs(witness));
    }
    EXPECT_LT(worst, 1e-6) << "points " << spread_mm << " mm about the surface";
  }
}

TEST(SurfaceIndex, TheOrderOfThePointsChangesNothing) {
  const SurfaceIndex index(volute());
  const PointCloud cloud = demo::points_about(volute(), 4000, 1.0, 13);
  const std::vector<std::uint32_t> order = morton_order(cloud.offsets_mm);
  const std::vector<SurfaceHit> as_given = index.closest(cloud, RigidPose{});
  const std::vector<SurfaceHit> sorted = index.closest(in_morton_order(cloud), RigidPose{});
  for (std::size_t i = 0; i < order.size(); ++i)
    ASSERT_NEAR(as_given[order[i]].signed_mm, sorted[i].signed_mm, 1e-6);
}

TEST(SurfaceIndex, TheNumberOfThreadsChangesNothing) {
  const SurfaceIndex index(volute());
  const PointCloud cloud = demo::points_about(volute(), 50000, 1.0, 17);
  const auto with_threads = [&](int threads) {
    tbb::task_arena arena(threads);
    return arena.execute([&] { return index.closest(cloud, RigidPose{}); });
  };
  const std::vector<SurfaceHit> one = with_threads(1), two = with_threads(2);
  for (std::size_t i = 0; i < one.size(); ++i) {
    ASSERT_EQ(one[i].signed_mm, two[i].signed_mm);
    ASSERT_EQ(one[i].triangle, two[i].triangle);
  }
}

TEST(SurfaceIndex, MovingPointsAndSurfaceTogetherChangesNoDistance) {
  const RigidPose move = small_motion({0.4, -1.1, 0.7}, {120, -40, 900}, {0, 0, 0});
  TriangleMesh moved = volute();
  for (Eigen::Vector3d& v : moved.vertices) v = move * v;
  const PointCloud cloud = demo::points_about(volute(), 3000, 1.5, 19);
  const std::vector<SurfaceHit> here = SurfaceIndex(volute()).closest(cloud, RigidPose{});
  const std::vector<SurfaceHit> there = SurfaceIndex(moved).closest(cloud, move);
  for (std::size_t i = 0; i < here.size(); ++i) ASSERT_NEAR(here[i].signed_mm, there[i].signed_mm, 2e-6);
}

TEST(SurfaceIndex, SliversAndDoubledTrianglesAreSurvived) {
  TriangleMesh mesh = demo::block({10, 10, 10});
  mesh.vertices.emplace_back(5, 5, 10 + 1e-13);
  mesh.triangles.push_back({4, 5, 8});
  mesh.triangles.push_back({0, 0, 1});
  for (int i = 0; i < 100; ++i) mesh.triangles.push_back({4, 5, 6});
  const SurfaceIndex index(mesh);
  PointCloud cloud;
  cloud.offsets_mm = {{5, 2, 12}, {5, 2, 8}, {-3, -4, 0}};
  const std::vector<SurfaceHit> hits = index.closest(cloud, RigidPose{});
  EXPECT_NEAR(std::abs(hits[0].signed_mm), 2, 1e-6);
  EXPECT_NEAR(std::abs(hits[1].signed_mm), 2, 1e-6);
  EXPECT_NEAR(std::abs(hits[2].signed_mm), 5, 1e-6);
}

TEST(SurfaceIndex, WithAReachAnswersTheSameWithinItAndNothingBeyond) {
  const SurfaceIndex index(volute());
  const PointCloud cloud = in_morton_order(demo::points_about(volute(), 20000, 8.0, 29));
  const double reach_mm = 3;
  const std::vector<SurfaceHit> all = index.closest(cloud, RigidPose{}),
                                near = index.closest(cloud, RigidPose{}, reach_mm);
  std::size_t beyond = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const double distance = std::abs(all[i].signed_mm);
    if (std::abs(distance - reach_mm) < 1e-4) continue;  // float decides which side of the reach it lies
    if (distance > reach_mm) {
      ++beyond;
      ASSERT_EQ(near[i].triangle, no_triangle);
      ASSERT_TRUE(std::isinf(near[i].signed_mm));
    } else {
      ASSERT_NEAR(near[i].signed_mm, all[i].signed_mm, 1e-5);
    }
  }
  EXPECT_GT(beyond, 1000u);
}

double longest_edge(const TriangleMesh& mesh) {
  double longest = 0;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (int corner = 0; corner < 3; ++corner)
      longest = std::max(longest, (mesh.corner(t, corner) - mesh.corner(t, (corner + 1) % 3)).norm());
  return longest;
}

TEST(NearSurfaceGrid, IsNeverNearerThanTheSurfaceAndNoFurtherOffThanItsCell) {
  const SurfaceIndex index(volute());
  const double cell_mm = 4;
  const NearSurfaceGrid grid(volute(), cell_mm, 20);
  const PointCloud cloud = demo::points_about(volute(), 3000, 8.0, 23);
  const std::vector<SurfaceHit> exact = index.closest(cloud, RigidPose{});
  const double allowed = cell_mm * std::numbers::sqrt3 + longest_edge(volute());
  for (std::size_t i = 0; i < exact.size(); ++i) {
    const Eigen::Vector3d point = cloud.point_mm(i);
    const double rough_mm = (point - index.nearest_on(grid.triangle_near(point), point)).norm();
    const double beyond = rough_mm - std::abs(exact[i].signed_mm);
    ASSERT_GT(beyond, -1e-5);
    ASSERT_LT(beyond, allowed);
  }
}

}  // namespace
}  // namespace boxfettle
