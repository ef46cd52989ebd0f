// A vent as the grid has it against a disc at one pressure on a half space: it takes 4 k a in all (H. Weber,
// J. reine angew. Math. 75, 1873; H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 1959, 8.2;
// both from memory). In oblate spheroidal coordinates, r^2 / (a^2 (1 + s^2)) + z^2 / (a^2 s^2) = 1, the field
// is u = (2 / pi) acot(s).
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <numbers>

#include "demo/plain_solids.hpp"
#include "flow/grid_solver.hpp"
#include "venting/wall_patch.hpp"

namespace boxfettle {
namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;

double disc_field(double off, double depth, double radius) {
  const double r2 = off * off / (radius * radius), z2 = depth * depth / (radius * radius);
  const double b = r2 + z2 - 1;  // s^4 - b s^2 - z^2 = 0
  const double s = std::sqrt(0.5 * (b + std::sqrt(b * b + 4 * z2)));
  return 2 / std::numbers::pi * std::atan2(1, s);
}

// A ball of sand of `reach` voxels under a flat wall that faces any way, its round border held at the disc's
// own field. One voxel is 1 mm.
class HalfSpace {
 public:
  HalfSpace(const WallDisc& disc, double reach = 24) : disc_(disc) {
    Matrix3d turn;
    turn.col(0) = disc.inward.unitOrthogonal();
    turn.col(1) = disc.inward.cross(turn.col(0));
    turn.col(2) = disc.inward;
    TriangleMesh block = demo::block({200, 200, 100}, {-100, -100, 0});
    for (Vector3d& vertex : block.vertices) vertex = disc.at_mm + turn * vertex;
    cells_ = cut_cells(block, {{-32, -32, -32}, 1.0, {64, 64, 64}});
    const auto patch = wall_patch(cells_, disc);
    std::vector<Well> wells;
    std::vector<Source> sources;
    const auto hold = [&](std::uint32_t cell, double conductance, double u) {
      wells.push_back({cell, conductance});
      sources.push_back({cell, conductance * u});
    };
    for (const PatchCell& c : patch) hold(c.cell, c.conductance, 1);
    for (std::uint32_t c = 0; c < cells_.grid.value_count(); ++c)
      if (cells_.volume[c] > 0 && from_disc(c).norm() > reach) hold(c, 1e4, field(c));
    FaceConductances faces;
    for (std::size_t axis = 0; axis < 3; ++axis)
      faces[axis].assign(cells_.aperture[axis].begin(), cells_.aperture[axis].end());
    GridSolver solver(cells_.grid, faces, wells);
    u_.assign(cells_.grid.value_count(), 0.0);
    solver.solve(sources, u_);
    for (const PatchCell& c : patch) flow_ += c.conductance * (1 - u_[c.cell]);
  }

  double flow() const { return flow_; }

  // Between one and one and a half diameters from the disc's middle, where its own cells no longer show.
  double worst_miss_of_field() const {
    double worst = 0;
    for (std::uint32_t c = 0; c < cells_.grid.value_count(); ++c) {
      const double far = from_disc(c).norm();
      if (cells_.volume[c] < 0.9f || far < 2 * disc_.radius_mm + 1 || far > 3 * disc_.radius_mm + 1) continue;
      worst = std::max(worst, std::abs(u_[c] - field(c)));
    }
    return worst;
  }

 private:
  Vector3d from_disc(std::uint32_t cell) const {
    return cells_.lattice.centre_mm(cells_.grid.place(cell)) - disc_.at_mm;
  }
  double field(std::uint32_t cell) const {
    const Vector3d from = from_disc(cell);
    const double depth = std::max(from.dot(disc_.inward), 0.0);
    return disc_field((from - depth * disc_.inward).norm(), depth, disc_.radius_mm);
  }

  WallDisc disc_;
  CutCells cells_;
  std::vector<double> u_;
  double flow_ = 0;
};

// The witness itself, by two of the field's known values: on the axis u = (2 / pi) atan(a / z), and in the
// wall beyond the disc u = (2 / pi) asin(a / r).
TEST(DiscOnAHalfSpace, TheFieldIsTheTextbooks) {
  EXPECT_NEAR(disc_field(0, 3, 2), 2 / std::numbers::pi * std::atan(2.0 / 3), 1e-12);
  EXPECT_NEAR(disc_field(5, 0, 2), 2 / std::numbers::pi * std::asin(0.4), 1e-12);
  EXPECT_NEAR(disc_field(1, 0, 2), 1, 1e-7);
}

TEST(DiscOnAHalfSpace, AVentSmallerThanAVoxelOrLargerPassesFourTimesItsRadius) {
  const Vector3d straight(0, 0, -1), slanting = Vector3d(-1, 2, -3).normalized();
  for (const Vector3d& inward : {straight, slanting})
    for (const Vector3d& at : {Vector3d(0.5, 0.5, 0), Vector3d(0.21, -0.13, 0.37)})
      for (const double radius : {0.2, 0.5, 1.0, 2.0, 3.0}) {
        const HalfSpace space({at, inward, radius});
        std::printf("%s, radius %.1f voxels: %.4f of 4 k a, field off by %.4f\n",
                    inward == straight ? "straight" : "slanting", radius, space.flow() / (4 * radius),
                    space.worst_miss_of_field());
        EXPECT_NEAR(space.flow() / (4 * radius), 1, 0.02) << radius;
        EXPECT_LT(space.worst_miss_of_field(), 0.03) << radius;
      }
}

}  // namespace
}  // namespace boxfettle
