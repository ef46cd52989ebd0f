#include "venting/air_pockets.hpp"

#include <gmock/gmock.h>

#include "demo/plain_solids.hpp"

namespace boxfettle {
namespace {

// Two towers on one base; only the left one has a vent on top.
struct Towers {
  TriangleMesh mesh = demo::block({60, 20, 20});
  CutCells cavity;

  Towers() {
    demo::add(mesh, demo::block({20, 20, 31}, {0, 0, 19}));
    demo::add(mesh, demo::block({20, 20, 21}, {40, 0, 19}));
    cavity = cut_cells(mesh, {{0, 0, 0}, 2.0, {32, 10, 25}});
  }
};

TEST(AirPockets, ATowerWithoutAVentShutsItsAirInOnceTheBaseIsFull) {
  const Towers towers;
  const std::vector<std::uint32_t> vent{towers.cavity.grid.cell(5, 5, 24)};
  const auto pockets = air_pockets(towers.cavity, vent, {0, 0, 1});
  ASSERT_EQ(pockets.size(), 1u);
  EXPECT_NEAR(pockets[0].volume_mm3, 20 * 20 * 20, 20 * 20 * 2.1);
  EXPECT_GT(pockets[0].where_mm.x(), 40);
  EXPECT_EQ(pockets[0].fills_last_rank, 1);
}

TEST(AirPockets, AVentOnEachTowerLeavesNone) {
  const Towers towers;
  const std::vector<std::uint32_t> vents{towers.cavity.grid.cell(5, 5, 24),
                                         towers.cavity.grid.cell(25, 5, 19)};
  EXPECT_THAT(air_pockets(towers.cavity, vents, {0, 0, 1}), testing::IsEmpty());
}

TEST(AirPockets, AVentAtTheBottomLeavesTheAirOnTopShutIn) {
  const Towers towers;
  const std::vector<std::uint32_t> vent{towers.cavity.grid.cell(15, 5, 0)};
  const auto pockets = air_pockets(towers.cavity, vent, {0, 0, 1});
  ASSERT_EQ(pockets.size(), 1u);
  EXPECT_NEAR(pockets[0].volume_mm3, towers.cavity.volume_mm3(), 60 * 20 * 2.1);
  EXPECT_TRUE(air_pockets(towers.cavity, vent, {0, 0, -1}).empty());
}

TEST(AirPockets, TheShareFilledFollowsTheHeight) {
  const Towers towers;
  const auto shares = fill_shares(towers.cavity, {0, 0, 1}, {0, 10, 20, 100});
  EXPECT_EQ(shares[0], 0);
  EXPECT_NEAR(shares[1], 0.5 * shares[2], 0.01);
  EXPECT_EQ(shares[3], 1);
}

}  // namespace
}  // namespace boxfettle
