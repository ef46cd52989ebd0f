#include "geometry/cut_cells.hpp"

#include <gmock/gmock.h>

#include <numbers>

#include "demo/plain_solids.hpp"
#include "geometry/implicit_mesh.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;

double open_area_mm2(const CutCells& cells, std::size_t axis, int plane) {
  double area = 0;
  for (std::uint32_t c = 0; c < cells.grid.value_count(); ++c)
    if (cells.volume[c] > 0 && cells.grid.place(c)[axis] == plane) area += cells.aperture[axis][c];
  return area * cells.lattice.voxel_mm * cells.lattice.voxel_mm;
}

TEST(CutCells, ABlockOffTheGridKeepsItsVolumeAndItsSections) {
  const TriangleMesh block = demo::block({23.3, 11.7, 9.1}, {0.4, -3.2, 7.7});
  const Lattice lattice{{-1.3, -4.1, 6.9}, 1.0, {27, 15, 12}};
  const CutCells cells = cut_cells(block, lattice);
  // Along z the layers are sliced in quarters: up to an eighth of a cell at both ends.
  EXPECT_NEAR(cells.volume_mm3(), 23.3 * 11.7 * 9.1, 23.3 * 11.7 * 0.25);
  EXPECT_NEAR(open_area_mm2(cells, 2, 5), 23.3 * 11.7, 1e-2);
  EXPECT_NEAR(open_area_mm2(cells, 0, 12), 11.7 * 9.1, 11.7 * 0.25);
  EXPECT_NEAR(open_area_mm2(cells, 1, 7), 23.3 * 9.1, 23.3 * 0.25);
}

TEST(CutCells, ABallsVolumeAndEquatorComeWithTheSquareOfTheVoxel) {
  const double radius = 10;
  ImplicitMeshSettings fine;
  fine.cell_mm = 0.25;
  fine.steepest_slope = 1;
  Bounds room;
  room.include(Vector3d::Constant(-10.6));
  room.include(Vector3d::Constant(10.6));
  const TriangleMesh ball =
      mesh_of_implicit([&](const Vector3d& p) { return p.norm() - radius; }, room, fine);
  const double volume = enclosed_volume_mm3(ball);
  double last = 1;
  for (const double voxel : {2.0, 1.0, 0.5}) {
    const CutCells cells = cut_cells(ball, lattice_around(ball, voxel));
    const double error = std::abs(cells.volume_mm3() / volume - 1);
    EXPECT_LT(error, 0.01 * voxel * voxel) << voxel;
    last = error;
  }
  EXPECT_LT(last, 1e-3);
}

TEST(CutCells, TwoShellsThatOverlapCountOnce) {
  TriangleMesh blocks = demo::block({10, 10, 10});
  demo::add(blocks, demo::block({10, 10, 10}, {5, 0, 0}));
  const CutCells cells = cut_cells(blocks, {{-1, -1, -1}, 1.0, {17, 12, 12}});
  EXPECT_NEAR(cells.volume_mm3(), 1500, 1e-2);
}

TEST(CutCells, FacesLeadOnlyFromCellToCell) {
  const TriangleMesh block = demo::block({23.3, 11.7, 9.1});
  const CutCells cells = cut_cells(block, lattice_around(block, 1.0));
  for (std::uint32_t c = 0; c < cells.grid.value_count(); ++c) {
    if (cells.volume[c] == 0) {
      for (const auto& aperture : cells.aperture) EXPECT_EQ(aperture[c], 0);
      continue;
    }
    const auto at = cells.grid.place(c);
    const std::array<std::uint32_t, 3> next{cells.grid.cell(at[0] + 1, at[1], at[2]),
                                            cells.grid.cell(at[0], at[1] + 1, at[2]),
                                            cells.grid.cell(at[0], at[1], at[2] + 1)};
    for (std::size_t axis = 0; axis < 3; ++axis)
      if (cells.aperture[axis][c] > 0) {
        EXPECT_GT(cells.volume[next[axis]], 0);
        EXPECT_EQ(cells.grid.faces(c)[2 * axis].other, next[axis]);
        EXPECT_EQ(cells.grid.faces(next[axis])[2 * axis + 1].other, c);
      }
  }
}

}  // namespace
}  // namespace boxfettle
