// The covariance a fit states, against how far its poses truly scatter: the same part scanned many times,
// each with its own noise (Monte Carlo).
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "reading/pose_fit.hpp"

namespace boxfettle {
namespace {

constexpr int scans = 400;

Vector6d motion_from(const RigidPose& truth, const RigidPose& found, const Eigen::Vector3d& pivot_mm) {
  const RigidPose moved = found * truth.inverse();
  Vector6d motion;
  motion << rotation_vector(moved.rotation), moved * pivot_mm - pivot_mm;
  return motion;
}

TEST(PoseFit, StatesTheScatterThatRepeatedScansShow) {
  const demo::InventedCore core = demo::stepped_valve_body(4.0);
  const SurfaceIndex index(core.design);
  const Eigen::Vector3d pivot_mm = bounds(core.design).centre();
  Matrix6d shown = Matrix6d::Zero(), stated = Matrix6d::Zero();
  for (std::uint64_t seed = 0; seed < scans; ++seed) {
    demo::Scanner scanner;
    scanner.seed = 5000 + seed;
    scanner.points = 4000;
    scanner.arbitrary_pose = false;
    const PointCloud points = demo::scan_core(core.design, core.box.parting, {}, scanner).points;
    const RigidPose start = small_motion({0.002, -0.001, 0.002}, {0.2, -0.1, 0.1}, pivot_mm);
    const PoseFit fit = fit_pose(index, points, start, pivot_mm);
    ASSERT_TRUE(fit.converged);
    const Vector6d off = motion_from({}, fit.surface_from_points, pivot_mm);
    shown += off * off.transpose() / scans;
    stated += fit.covariance / scans;
  }
  // A standard deviation from 400 draws is known to 3.5 %, and five times that is allowed downwards. The
  // largest of three estimates is stated, so it may be up to a third too large; it must never be too small.
  for (Eigen::Index k = 0; k < 6; ++k) {
    const double ratio = std::sqrt(stated(k, k) / shown(k, k));
    std::printf("%s %c: stated %.3g, shown %.3g, ratio %.2f\n", k < 3 ? "turn about" : "shift along",
                "xyz"[k % 3], std::sqrt(stated(k, k)), std::sqrt(shown(k, k)), ratio);
    EXPECT_GT(ratio, 0.82);
    EXPECT_LT(ratio, 1.33);
  }
}

}  // namespace
}  // namespace boxfettle
