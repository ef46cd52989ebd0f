#include "venting/wall_patch.hpp"

#include <gmock/gmock.h>

#include "demo/plain_solids.hpp"
#include "flow/grid_solver.hpp"

namespace boxfettle {
namespace {

// A big block with one disc on top at pressure 1 and the far walls held at what the disc's field is there
// would be the same problem again; here the box is merely large, and its far walls at 0 take the flow a
// little nearer.
double flow_through(double radius_mm, const Eigen::Vector3d& at_mm) {
  const TriangleMesh block = demo::block({61, 61, 30});
  const CutCells cells = cut_cells(block, {{0, 0, 0}, 1.0, {61, 61, 30}});
  const auto patch = wall_patch(cells, {at_mm, {0, 0, -1}, radius_mm});
  std::vector<Well> wells;
  std::vector<Source> sources;
  for (const PatchCell& c : patch) {
    wells.push_back({c.cell, c.conductance});
    sources.push_back({c.cell, c.conductance});
  }
  for (std::uint32_t c = 0; c < cells.grid.value_count(); ++c) {
    if (cells.volume[c] == 0) continue;
    const auto at = cells.grid.place(c);
    if (at[0] == 0 || at[1] == 0 || at[2] == 0 || at[0] == 60 || at[1] == 60) wells.push_back({c, 1e4});
  }
  FaceConductances faces;
  for (std::size_t axis = 0; axis < 3; ++axis)
    faces[axis].assign(cells.aperture[axis].begin(), cells.aperture[axis].end());
  GridSolver solver(cells.grid, faces, wells);
  std::vector<double> u(cells.grid.value_count(), 0.0);
  solver.solve(sources, u);
  double flow = 0;
  for (const PatchCell& c : patch) flow += c.conductance * (1 - u[c.cell]);
  return flow;
}

TEST(WallPatch, AVentSmallerThanAVoxelOrLargerPassesWhatADiscDoes) {
  // The walls at 0 some 29 mm away let through more, by 4 a times the mean of 1 / (2 pi r) over them: below 2
  // a percent for a = 1 mm, and in proportion.
  for (const double radius : {0.2, 0.5, 1.0, 2.0, 3.0}) {
    const double share = flow_through(radius, {30.5, 30.5, 30}) / (4 * radius);
    EXPECT_NEAR(share, 1 + 0.018 * radius, 0.012) << radius;
    const double off = flow_through(radius, {30.21, 30.87, 30}) / (4 * radius);
    EXPECT_NEAR(off, share, 0.01) << radius;
  }
}

TEST(WallPatch, NoCavityBehindTheDiscGivesNoCells) {
  const TriangleMesh block = demo::block({20, 20, 20});
  const CutCells cells = cut_cells(block, lattice_around(block, 1));
  EXPECT_THAT(wall_patch(cells, {{10, 10, 30}, {0, 0, -1}, 2}), testing::IsEmpty());
}

}  // namespace
}  // namespace boxfettle
