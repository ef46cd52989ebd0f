#include "venting/wall_patch.hpp"

#include <gmock/gmock.h>

#include "demo/plain_solids.hpp"

// That a vent passes what a disc does is held to its closed form in
// tests/outside/disc_on_half_space_test.cpp.
namespace boxfettle {
namespace {

TEST(WallPatch, NoCavityBehindTheDiscGivesNoCells) {
  const TriangleMesh block = demo::block({20, 20, 20});
  const CutCells cells = cut_cells(block, lattice_around(block, 1));
  EXPECT_THAT(wall_patch(cells, {{10, 10, 30}, {0, 0, -1}, 2}), testing::IsEmpty());
}

}  // namespace
}  // namespace boxfettle
