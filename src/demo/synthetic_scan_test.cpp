#include "demo/synthetic_scan.hpp"

#include <gmock/gmock.h>
#include <tbb/global_control.h>

#include <cmath>
#include <numbers>

#include "demo/invented_cores.hpp"

namespace boxfettle::demo {
namespace {

using Eigen::Vector3d;

// A brick whose lower and upper faces stand 20 mm below and 30 mm above the parting: every height is known.
constexpr double half_x_mm = 60, half_y_mm = 40, low_mm = -20, high_mm = 30;
TriangleMesh brick() {
  TriangleMesh mesh;
  for (int i = 0; i < 8; ++i)
    mesh.vertices.emplace_back(i & 1 ? half_x_mm : -half_x_mm, i & 2 ? half_y_mm : -half_y_mm,
                               i & 4 ? high_mm : low_mm);
  mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                    {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return mesh;
}
const PartingFace parting = PartingFace::through({0, 0, 0}, {0, 0, 1});

Scanner still(std::size_t points = 40000) {
  Scanner scanner;
  scanner.points = points;
  scanner.noise_mm = 0;
  scanner.normals = true;
  scanner.arbitrary_pose = false;
  return scanner;
}

struct MeanOf {
  double sum = 0, squares = 0;
  std::size_t count = 0;
  void add(double value) {
    sum += value;
    squares += value * value;
    ++count;
  }
  double mean() const { return sum / static_cast<double>(count); }
  double sd() const { return std::sqrt(squares / static_cast<double>(count) - mean() * mean()); }
};

// Of the points whose normal is near `way`: their place along it.
MeanOf places_along(const PointCloud& scan, const Vector3d& way) {
  MeanOf places;
  for (std::size_t i = 0; i < scan.size(); ++i)
    if (scan.normals[i].cast<double>().dot(way) > 0.9) places.add(scan.point_mm(i).dot(way));
  return places;
}

TEST(SyntheticScan, WithoutFaultsOrNoiseEveryPointLiesOnTheDesign) {
  const SyntheticScan scan = scan_core(brick(), parting, {}, still());
  EXPECT_EQ(scan.points.size(), 40000u);
  for (std::size_t i = 0; i < scan.points.size(); ++i) {
    const Vector3d p = scan.points.point_mm(i);
    const double outside =
        std::max({std::abs(p.x()) - half_x_mm, std::abs(p.y()) - half_y_mm, p.z() - high_mm, low_mm - p.z()});
    ASSERT_NEAR(outside, 0, 1e-4);
  }
}

TEST(SyntheticScan, PointsFallEvenlyOverTheArea) {
  const SyntheticScan scan = scan_core(brick(), parting, {}, still());
  const double top = 4 * half_x_mm * half_y_mm;
  const double all = 2 * top + 4 * (half_x_mm + half_y_mm) * (high_mm - low_mm);
  const auto share = static_cast<double>(places_along(scan.points, Vector3d::UnitZ()).count) / 40000;
  EXPECT_NEAR(share, top / all,
              0.001);  // one point in each equal share of the area: a few points at most go astray
}

TEST(SyntheticScan, AGapRaisesTheUpperHalfOnly) {
  const SyntheticScan scan = scan_core(brick(), parting, {.gap_mm = 0.35}, still());
  EXPECT_NEAR(places_along(scan.points, Vector3d::UnitZ()).mean(), high_mm + 0.35, 1e-4);
  EXPECT_NEAR(places_along(scan.points, -Vector3d::UnitZ()).mean(), -low_mm, 1e-4);
}

TEST(SyntheticScan, AMismatchMovesTheUpperHalfAlongThePartingsOwnAxes) {
  const SyntheticScan scan = scan_core(brick(), parting, {.mismatch_mm = {0.5, -0.2}}, still());
  for (std::size_t i = 0; i < scan.points.size(); ++i) {
    const Vector3d p = scan.points.point_mm(i);
    if (scan.points.normals[i].x() > 0.9f) {
      ASSERT_NEAR(p.x(), half_x_mm + (p.z() > 0 ? 0.5 : 0), 1e-4);
    }
    if (scan.points.normals[i].y() > 0.9f) {
      ASSERT_NEAR(p.y(), half_y_mm - (p.z() > 0 ? 0.2 : 0), 1e-4);
    }
  }
}

TEST(SyntheticScan, ATiltAboutXRaisesTheUpperHalfAtPositiveY) {
  const SyntheticScan scan = scan_core(brick(), parting, {.tilt_deg = {0.3, 0}}, still());
  const double slope = std::tan(0.3 * std::numbers::pi / 180);
  for (std::size_t i = 0; i < scan.points.size(); ++i) {
    const Vector3d p = scan.points.point_mm(i);
    if (scan.points.normals[i].z() > 0.9f) {
      ASSERT_NEAR(p.z(), high_mm + slope * p.y(), 1e-3);
    }
  }
}

TEST(SyntheticScan, ATiltAboutYLowersTheUpperHalfAtPositiveX) {
  const SyntheticScan scan = scan_core(brick(), parting, {.tilt_deg = {0, 0.3}}, still());
  const double slope = std::tan(0.3 * std::numbers::pi / 180);
  for (std::size_t i = 0; i < scan.points.size(); ++i) {
    const Vector3d p = scan.points.point_mm(i);
    if (scan.points.normals[i].z() > 0.9f) {
      ASSERT_NEAR(p.z(), high_mm - slope * p.x(), 1e-3);
    }
  }
}

TEST(SyntheticScan, ARotationTurnsTheUpperHalfAboutThePartingPoint) {
  const PartingFace aside = PartingFace::through({10, -5, 0}, {0, 0, 1});
  const double angle = 0.5 * std::numbers::pi / 180;
  const SyntheticScan scan = scan_core(brick(), aside, {.rotation_deg = 0.5}, still());
  for (std::size_t i = 0; i < scan.points.size(); ++i) {
    const Vector3d p = scan.points.point_mm(i) - aside.point_mm;
    if (scan.points.normals[i].x() < 0.9f || p.z() < 0) continue;
    // Turned back by the same angle, the end face stands where the design has it.
    ASSERT_NEAR(std::cos(angle) * p.x() + std::sin(angle) * p.y(), half_x_mm - 10, 1e-3);
  }
}

TEST(SyntheticScan, WearIsDeepestAtItsCentreAndFallsAsACosineSquared) {
  const FaultPatch wear{{10, 5, high_mm + 3}, 15, 0.6};
  const SyntheticScan scan = scan_core(brick(), parting, {.patches = {wear}}, still());
  std::size_t raised = 0;
  for (std::size_t i = 0; i < scan.points.size(); ++i) {
    const Vector3d p = scan.points.point_mm(i);
    if (scan.points.normals[i].z() < 0.9f) continue;
    const double away = std::hypot(p.x() - 10, p.y() - 5);
    const double expected = away < 15 ? 0.6 * std::pow(std::cos(0.5 * std::numbers::pi * away / 15), 2) : 0;
    ASSERT_NEAR(p.z() - high_mm, expected, 1e-4);
    raised += p.z() > high_mm + 0.55;
  }
  EXPECT_GT(raised, 20u);
}

TEST(SyntheticScan, WearStaysOnItsOwnSideOfAThinWall) {
  TriangleMesh plate = brick();
  for (Vector3d& vertex : plate.vertices)
    vertex.z() *= 0.1;  // 5 mm thick, its edges 25 mm and more from the patch
  const SyntheticScan scan = scan_core(plate, parting, {.patches = {{{0, 0, 3}, 15, 0.6}}}, still());
  EXPECT_GT(places_along(scan.points, Vector3d::UnitZ()).mean(), 0.1 * high_mm + 0.01);
  EXPECT_NEAR(places_along(scan.points, -Vector3d::UnitZ()).mean(), -0.1 * low_mm, 1e-5);
}

TEST(SyntheticScan, ALoosePieceOffMovesItsWholeRegionAndNothingElse) {
  const PieceFault piece{{20, -10, 25}, {60, 30, 35}, 0.8};
  const SyntheticScan scan = scan_core(brick(), parting, {.pieces = {piece}}, still());
  for (std::size_t i = 0; i < scan.points.size(); ++i) {
    const Vector3d p = scan.points.point_mm(i);
    if (scan.points.normals[i].z() < 0.9f) continue;
    const bool in_region = p.x() >= 20 && p.x() <= 60 && p.y() >= -10 && p.y() <= 30;
    ASSERT_NEAR(p.z(), high_mm + (in_region ? 0.8 : 0), 1e-4);
  }
}

TEST(SyntheticScan, NoiseHasTheSpreadAskedForAndNoBias) {
  Scanner scanner = still(200000);
  scanner.noise_mm = 0.05;
  const MeanOf top = places_along(scan_core(brick(), parting, {}, scanner).points, Vector3d::UnitZ());
  const double of_mean = 0.05 / std::sqrt(static_cast<double>(top.count));
  EXPECT_NEAR(top.mean(), high_mm, 4 * of_mean);
  EXPECT_NEAR(top.sd(), 0.05, 4 * of_mean);  // the spread of a spread is smaller than that of a mean
}

TEST(SyntheticScan, SharedNoiseIsAlikeNearbyAndUnlikeFarAway) {
  Scanner scanner = still(20000);
  scanner.noise_correlation_mm = 8;
  scanner.correlated_noise_mm = 0.1;
  MeanOf near, far, square;
  for (scanner.seed = 1; scanner.seed <= 40; ++scanner.seed) {
    const PointCloud scan = scan_core(brick(), parting, {}, scanner).points;
    std::vector<Vector3d> top;
    for (std::size_t i = 0; i < scan.size(); ++i)
      if (scan.normals[i].z() > 0.9f) top.push_back(scan.point_mm(i));
    for (std::size_t i = 0; i < top.size(); i += 101)
      for (std::size_t j = 0; j < i; j += 103) {
        const double apart = (top[i] - top[j]).head<2>().norm();
        const double product = (top[i].z() - high_mm) * (top[j].z() - high_mm);
        if (apart < 2) near.add(product);
        if (apart > 40) far.add(product);
      }
    for (const Vector3d& p : top) square.add((p.z() - high_mm) * (p.z() - high_mm));
  }
  EXPECT_NEAR(square.mean(), 0.01, 0.001);
  EXPECT_NEAR(near.mean() / square.mean(), 1, 0.15);
  EXPECT_NEAR(far.mean() / square.mean(), 0, 0.15);
}

TEST(SyntheticScan, OutliersFillAWiderBoxInTheShareAskedFor) {
  Scanner scanner = still();
  scanner.outlier_fraction = 0.05;
  const PointCloud scan = scan_core(brick(), parting, {}, scanner).points;
  ASSERT_EQ(scan.size(), 40000u);
  Bounds box;
  for (std::size_t i = 0; i < scan.size(); ++i) box.include(scan.point_mm(i));
  EXPECT_NEAR(box.high.x(), 1.5 * half_x_mm, 2);
  EXPECT_NEAR(box.low.y(), -1.5 * half_y_mm, 2);
}

TEST(SyntheticScan, WhatIsUnseenIsCutFromOneSide) {
  Scanner scanner = still();
  scanner.unseen_fraction = 0.3;
  const PointCloud scan = scan_core(brick(), parting, {}, scanner).points;
  EXPECT_NEAR(static_cast<double>(scan.size()), 28000, 1);
  // With nearly a third of the surface gone, at least one of the six faces must have lost most of its points.
  std::array<std::size_t, 6> left{};
  for (const Eigen::Vector3f& n : scan.normals)
    for (std::size_t axis = 0; axis < 3; ++axis)
      if (std::abs(n[static_cast<int>(axis)]) > 0.9f) ++left[2 * axis + (n[static_cast<int>(axis)] > 0)];
  double emptied = 0;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const auto [low, high] = std::minmax(left[2 * axis], left[2 * axis + 1]);
    emptied = std::max(emptied, 1 - static_cast<double>(low) / static_cast<double>(high));
  }
  EXPECT_GT(emptied, 0.5);
}

TEST(SyntheticScan, TheTableTouchesThePartAndNothingLiesBelowIt) {
  Scanner scanner = still();
  scanner.table = true;
  const PointCloud part = scan_core(brick(), parting, {}, still()).points;
  const PointCloud scan = scan_core(brick(), parting, {}, scanner).points;
  ASSERT_EQ(scan.size(), part.size() + 6000);
  const Vector3d up = scan.normals.back().cast<double>();
  const double table = scan.point_mm(scan.size() - 1).dot(up);
  double lowest = 1e300;
  for (std::size_t i = 0; i < part.size(); ++i) lowest = std::min(lowest, scan.point_mm(i).dot(up));
  EXPECT_NEAR(lowest, table, 1e-3);
  for (std::size_t i = part.size(); i < scan.size(); ++i) ASSERT_NEAR(scan.point_mm(i).dot(up), table, 1e-3);
}

TEST(SyntheticScan, ThePoseToldTakesTheScanBackOntoTheDesign) {
  Scanner scanner = still();
  scanner.arbitrary_pose = true;
  const SyntheticScan turned = scan_core(brick(), parting, {}, scanner);
  scanner.arbitrary_pose = false;
  const SyntheticScan same = scan_core(brick(), parting, {}, scanner);
  const RigidPose design_from_scan = turned.scan_from_design.inverse();
  EXPECT_GT(rotation_vector(design_from_scan.rotation).norm(), 0.01);
  for (std::size_t i = 0; i < same.points.size(); ++i) {
    ASSERT_LT((design_from_scan * turned.points.point_mm(i) - same.points.point_mm(i)).norm(), 1e-4);
    ASSERT_LT(
        (design_from_scan.rotation.cast<float>() * turned.points.normals[i] - same.points.normals[i]).norm(),
        1e-5);
  }
}

TEST(SyntheticScan, OneSeedGivesOneScanOnAnyNumberOfThreads) {
  const InventedCore core = stepped_valve_body(2);
  Scanner scanner;
  scanner.points = 30000;
  scanner.outlier_fraction = 0.02;
  scanner.unseen_fraction = 0.2;
  scanner.table = true;
  scanner.noise_correlation_mm = 10;
  scanner.correlated_noise_mm = 0.02;
  const BoxFaults faults{.gap_mm = 0.2, .patches = {{{0, 0, 30}, 12, 0.5}}};
  const SyntheticScan many = scan_core(core.design, core.box.parting, faults, scanner);
  const tbb::global_control one_thread(tbb::global_control::max_allowed_parallelism, 1);
  const SyntheticScan one = scan_core(core.design, core.box.parting, faults, scanner);
  EXPECT_TRUE(many.points.offsets_mm == one.points.offsets_mm);
  scanner.seed = 2;
  EXPECT_FALSE(scan_core(core.design, core.box.parting, faults, scanner).points.offsets_mm ==
               one.points.offsets_mm);
}

}  // namespace
}  // namespace boxfettle::demo
