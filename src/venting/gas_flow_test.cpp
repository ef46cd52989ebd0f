#include "venting/gas_flow.hpp"

#include <gmock/gmock.h>

#include "venting/residence.hpp"
#include "venting/sand_elbow_test.hpp"

namespace boxfettle {
namespace {

TEST(GasFlow, WhatGoesInComesOut) {
  const Elbow elbow;
  GasFlow flow = elbow.flow();
  const FlowReport report = flow.solve();
  EXPECT_TRUE(report.converged) << report.rounds << " " << report.change;
  EXPECT_LE(report.balance_error, 1e-8);
  EXPECT_GT(flow.total_flow(), 0);
}

TEST(GasFlow, AVentsOpeningAndItsSandPassTheSame) {
  const Elbow elbow;
  GasFlow flow = elbow.flow();
  flow.solve();
  // Nothing passes more than its opening at the inlet's own pressure would.
  EXPECT_LT(flow.vent_flow(2), flow.vent_flow(0));
  EXPECT_GT(flow.vent_flow(2), 0);
}

TEST(GasFlow, PluggingAVentSendsItsGasElsewhere) {
  const Elbow elbow;
  GasFlow flow = elbow.flow();
  flow.solve();
  const double before = flow.vent_flow(1), total = flow.total_flow();
  flow.set_orifice(0, 0);
  const FlowReport report = flow.solve();
  EXPECT_TRUE(report.converged);
  EXPECT_EQ(flow.vent_flow(0), 0);
  EXPECT_GT(flow.vent_flow(1), before);
  EXPECT_LT(flow.total_flow(), total);
}

// As where a vent stands on a hollow too small for the voxels.
TEST(GasFlow, AVentBehindWhichNoSandIsFoundPassesNothingAndDisturbsNothing) {
  Elbow elbow;
  GasFlow without = elbow.flow();
  without.solve();
  elbow.vents.push_back({"V4", {}, 50.3, 8e-6});
  GasFlow flow = elbow.flow();
  EXPECT_TRUE(flow.solve().converged);
  EXPECT_EQ(flow.vent_flow(3), 0);
  EXPECT_NEAR(flow.total_flow(), without.total_flow(), 1e-9 * without.total_flow());
}

TEST(GasFlow, InertiaHoldsGasBack) {
  const Elbow elbow;
  FlowSettings darcy;
  darcy.inertia = false;
  GasFlow plain = elbow.flow(darcy), full = elbow.flow();
  plain.solve();
  full.solve();
  EXPECT_LT(full.total_flow(), plain.total_flow());
  EXPECT_EQ(plain.inertia_share(), 0);
  EXPECT_GT(full.inertia_share(), 0.05);
}

// Danckwerts: the mean age of what leaves is what is held over what flows.
TEST(Residence, MeanAgeOfWhatLeavesIsTheGasHeldOverTheFlow) {
  const Elbow elbow;
  GasFlow flow = elbow.flow();
  flow.solve();
  const Residence ages = residence(flow);
  double held = 0;
  for (const std::uint32_t c : flow.cells()) held += flow.pore_gas_kg(c);
  EXPECT_NEAR(ages.mean_outlet_age_s / (held / flow.total_flow()), 1, 1e-6);
}

TEST(Residence, NoPlaceIsYoungerThanAllThatFeedsIt) {
  const Elbow elbow;
  GasFlow flow = elbow.flow();
  flow.solve();
  const Residence ages = residence(flow);
  for (const std::uint32_t c : flow.cells()) {
    double youngest = 1e300;
    for (const StripGrid::Face& face : elbow.cavity.grid.faces(c))
      if (flow.u(face.other) > flow.u(c) &&
          elbow.cavity.aperture[static_cast<std::size_t>(face.axis)][face.holder] > 0)
        youngest = std::min(youngest, ages.age_s[face.other]);
    if (youngest < 1e299 && ages.hangs_on[c] == c) {
      ASSERT_GE(ages.age_s[c], 0);
    }
  }
}

}  // namespace
}  // namespace boxfettle
