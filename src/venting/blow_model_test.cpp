#include "venting/blow_model.hpp"

#include <gmock/gmock.h>

namespace boxfettle {
namespace {

BlowCase a_box() {
  return {.magazine_m3 = 0.02,
          .magazine_pa = 4e5,
          .tube_m2 = 4e-4,
          .cavity_m3 = 1.2e-3,
          .porosity = 0.415,
          .bulk_kg_m3 = 1550,
          .vents = {{"V1", 5e-5}, {"V2", 2.5e-5}},
          .gap = {}};
}

TEST(Blow, AirIsNeitherMadeNorLost) {
  for (const bool adiabatic : {false, true}) {
    BlowCase box = a_box();
    box.adiabatic = adiabatic;
    const BlowRun run = blow(box);
    EXPECT_TRUE(run.fills);
    EXPECT_LT(run.mass_error, 1e-12);
    EXPECT_GT(run.peak_cavity_pa, standard_atmosphere_pa);
    EXPECT_LT(run.peak_cavity_pa, box.magazine_pa);
    EXPECT_NEAR(run.vent_kg[0], 2 * run.vent_kg[1], 1e-12);
  }
}

TEST(Blow, PluggedVentsFillTheBoxLater) {
  BlowCase box = a_box();
  double last = 0;
  for (const double open : {1.0, 0.5, 0.25, 0.1}) {
    box.vents = {{"V1", 5e-5 * open}, {"V2", 2.5e-5 * open}};
    const BlowRun run = blow(box);
    EXPECT_GT(run.fill_time_s, last);
    last = run.fill_time_s;
  }
}

TEST(Blow, ABoxWithoutAnyWayOutDoesNotFill) {
  BlowCase box = a_box();
  box.vents = {};
  box.longest_s = 20;
  const BlowRun run = blow(box);
  EXPECT_FALSE(run.fills);
  EXPECT_LT(run.filled_share, 1);
  EXPECT_NEAR(run.end_cavity_pa, run.end_magazine_pa, 0.01 * run.end_magazine_pa);
}

TEST(Blow, AnOpenPartingFaceHelpsAirOut) {
  BlowCase box = a_box();
  const double shut = blow(box).fill_time_s;
  box.gap = {{1.0, 1e-4, 0.02}};
  const BlowRun open = blow(box);
  EXPECT_LT(open.fill_time_s, shut);
  EXPECT_GT(open.gap_kg, 0);
}

TEST(Blow, ATighterToleranceChangesNothingThatCounts) {
  BlowCase box = a_box();
  box.tolerance = 1e-6;
  const double rough = blow(box).fill_time_s;
  box.tolerance = 1e-10;
  EXPECT_NEAR(rough / blow(box).fill_time_s, 1, 1e-5);
}

}  // namespace
}  // namespace boxfettle
