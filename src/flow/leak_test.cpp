// Laws of gas through openings. Published and closed-form figures stand in tests/outside/.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "flow/orifice_flow.hpp"
#include "flow/slit_flow.hpp"

namespace boxfettle {
namespace {

constexpr double one_bar = 1e5;
constexpr double room_K = 293.15;

double between(int low, int high, double scale) {
  return *rc::gen::inRange(low, high) * scale;
}

TEST(OrificeFlow, NothingPassesWithoutAFallOfPressure) {
  EXPECT_EQ(orifice_flow(1e-6, one_bar, one_bar, room_K).mass_flow_kg_s, 0);
  EXPECT_EQ(orifice_flow(1e-6, one_bar, 2 * one_bar, room_K).mass_flow_kg_s, 0);
  EXPECT_EQ(orifice_flow(0, 2 * one_bar, one_bar, room_K).mass_flow_kg_s, 0);
}

TEST(OrificeFlow, ChokesAtTheCriticalRatioWithoutAJump) {
  const double critical = critical_pressure_ratio();
  const OrificeFlow before = orifice_flow(1e-6, one_bar, one_bar * (critical + 1e-9), room_K);
  const OrificeFlow behind = orifice_flow(1e-6, one_bar, one_bar * (critical - 1e-9), room_K);
  EXPECT_FALSE(before.choked);
  EXPECT_TRUE(behind.choked);
  EXPECT_NEAR(before.mass_flow_kg_s, behind.mass_flow_kg_s, 1e-12 * behind.mass_flow_kg_s);
  EXPECT_EQ(behind.mass_flow_kg_s, orifice_flow(1e-6, one_bar, 0, room_K).mass_flow_kg_s);
}

RC_GTEST_PROP(OrificeFlow, GrowsWithThePressureBeforeAndShrinksWithThatBehind, ()) {
  const double before = between(1100, 10000, 100), behind = between(0, 1100, 100);
  const double flow = orifice_flow(1e-6, before, behind, room_K).mass_flow_kg_s;
  RC_ASSERT(orifice_flow(1e-6, before + 100, behind, room_K).mass_flow_kg_s > flow);
  RC_ASSERT(orifice_flow(1e-6, before, behind + 100, room_K).mass_flow_kg_s <= flow);
}

TEST(SlitFlow, OfANarrowPartingGapGrowsWithTheCubeOfTheOpening) {
  const SlitFlow narrow = slit_flow({1, 2e-5, 0.03}, 1.5 * one_bar, one_bar, room_K);
  const SlitFlow wider = slit_flow({1, 2.2e-5, 0.03}, 1.5 * one_bar, one_bar, room_K);
  EXPECT_EQ(narrow.regime, SlitRegime::laminar);
  EXPECT_NEAR(wider.mass_flow_kg_s / narrow.mass_flow_kg_s, 1.331, 1e-12);
}

TEST(SlitFlow, OfAWideGapIsNeverMoreThanTheOpeningPassesAsANozzle) {
  const Slit wide{1, 1e-3, 0.01};
  const SlitFlow leak = slit_flow(wide, 3 * one_bar, one_bar, room_K);
  EXPECT_EQ(leak.regime, SlitRegime::nozzle);
  EXPECT_TRUE(leak.choked);
  EXPECT_NEAR(leak.mass_flow_kg_s, orifice_flow(1e-3, 3 * one_bar, one_bar, room_K).mass_flow_kg_s, 1e-12);
}

TEST(SlitFlow, BetweenTheTwoIsTurbulentAndLessThanEither) {
  const SlitFlow leak = slit_flow({1, 5e-4, 0.5}, 1.3 * one_bar, one_bar, room_K);
  EXPECT_EQ(leak.regime, SlitRegime::turbulent);
  EXPECT_GT(leak.reynolds, 2000);
  EXPECT_LT(leak.mass_flow_kg_s, orifice_flow(5e-4, 1.3 * one_bar, one_bar, room_K).mass_flow_kg_s);
}

RC_GTEST_PROP(SlitFlow, GrowsWithTheOpeningAndIsInProportionToItsWidth, ()) {
  const Slit slit{between(1, 3000, 1e-3), between(1, 2000, 1e-6), between(1, 200, 1e-3)};
  const double before = between(1100, 10000, 100);
  const double leak = slit_flow(slit, before, one_bar, room_K).mass_flow_kg_s;
  const Slit wider{slit.width_m, slit.height_m * 1.001, slit.length_m};
  RC_ASSERT(slit_flow(wider, before, one_bar, room_K).mass_flow_kg_s > leak);
  const Slit twice{2 * slit.width_m, slit.height_m, slit.length_m};
  RC_ASSERT(std::abs(slit_flow(twice, before, one_bar, room_K).mass_flow_kg_s - 2 * leak) <= 1e-12 * leak);
}

TEST(SlitFlow, OfAClosedPartingFaceIsNothing) {
  EXPECT_EQ(slit_flow({1, 0, 0.03}, 3 * one_bar, one_bar, room_K).mass_flow_kg_s, 0);
}

}  // namespace
}  // namespace boxfettle
