#include "reading/surface_cells.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <numeric>

#include "demo/invented_cores.hpp"
#include "demo/plain_solids.hpp"

namespace boxfettle {
namespace {

// Every triangle is in a cell, the cells have the design's area, and each hangs together and knows its
// neighbours as they know it.
void expect_whole(const DesignSurface& design, const SurfaceCells& cells) {
  ASSERT_EQ(cells.cell_of_triangle.size(), design.mesh().triangles.size());
  for (const std::uint32_t c : cells.cell_of_triangle) ASSERT_LT(c, cells.size());
  EXPECT_NEAR(std::accumulate(cells.area_mm2.begin(), cells.area_mm2.end(), 0.0), design.area_mm2(),
              1e-6 * design.area_mm2());
  std::vector<std::vector<std::uint32_t>> beside(cells.size());
  std::vector<bool> reached(cells.cell_of_triangle.size(), false), begun(cells.size(), false);
  for (std::uint32_t start = 0; start < reached.size(); ++start) {
    const std::uint32_t c = cells.cell_of_triangle[start];
    if (reached[start]) continue;
    ASSERT_FALSE(begun[c]) << "cell " << c << " lies in two places";
    begun[c] = true;
    std::vector<std::uint32_t> waiting{start};
    reached[start] = true;
    while (!waiting.empty()) {
      const std::uint32_t t = waiting.back();
      waiting.pop_back();
      for (const std::uint32_t n : design.index().topology().neighbours[t]) {
        if (n == no_triangle) continue;
        if (cells.cell_of_triangle[n] != c)
          beside[c].push_back(cells.cell_of_triangle[n]);
        else if (!reached[n]) {
          reached[n] = true;
          waiting.push_back(n);
        }
      }
    }
  }
  for (std::size_t c = 0; c < cells.size(); ++c) {
    std::sort(beside[c].begin(), beside[c].end());
    beside[c].erase(std::unique(beside[c].begin(), beside[c].end()), beside[c].end());
    EXPECT_EQ(cells.neighbours[c], beside[c]) << "cell " << c;
  }
}

TEST(SurfaceCells, OfACoreHangTogetherAndCoverIt) {
  const DesignSurface design(demo::coarse(demo::Core::volute).design);
  for (const double side_mm : {2.0, 8.0}) expect_whole(design, cut_into_cells(design, side_mm));
}

// Letters, beads and gas marks may be shells of their own, many of them within one cell's cube.
TEST(SurfaceCells, ShellsThatShareACubeAreCellsOfTheirOwn) {
  TriangleMesh mesh = demo::block({100, 60, 40});
  for (int bead = 0; bead < 20; ++bead)
    demo::add(mesh, demo::block({0.2, 0.2, 0.2}, {20 + 0.4 * (bead % 4), 20 + 0.4 * (bead / 4), 45}));
  const DesignSurface design(mesh);
  expect_whole(design, cut_into_cells(design, 8));
}

}  // namespace
}  // namespace boxfettle
