#include "venting/gas_flow.hpp"

#include <gmock/gmock.h>

#include <numeric>

#include "demo/plain_solids.hpp"
#include "venting/residence.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;

// An L of sand: inlet on top of one arm, three vents of which one sits at the far end of the other.
struct Elbow {
  TriangleMesh mesh;
  CutCells cavity;
  PackedSand sand = packed_sand(55, 1.55);
  GasState state{.inlet_pa = 2.5e5, .temperature_K = 313};
  std::vector<Inlet> inlets;
  std::vector<VentPath> vents;

  explicit Elbow(double voxel_mm = 2.5) {
    mesh = demo::block({100, 30, 30});
    demo::add(mesh, demo::block({30, 80, 30}, {70, 29, 0}));
    cavity = cut_cells(mesh, lattice_around(mesh, voxel_mm));
    inlets.push_back({"B1", wall_patch(cavity, {{15, 15, 30}, {0, 0, -1}, 7}), 154});
    const auto vent = [&](const char* id, Vector3d at, Vector3d inward, double orifice_mm2) {
      vents.push_back({id, wall_patch(cavity, {at, inward, 4}), 50.3, orifice_mm2 * 1e-6});
    };
    vent("V1", {60, 15, 30}, {0, 0, -1}, 8);
    vent("V2", {85, 109, 15}, {0, -1, 0}, 8);
    vent("V3", {100, 15, 15}, {-1, 0, 0}, 4);
  }

  GasFlow flow(const FlowSettings& settings = {}) const {
    return {cavity, sand, state, inlets, vents, {}, settings};
  }
};

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

double worst_age(GasFlow& flow, const std::vector<double>& weight) {
  flow.solve();
  const Residence ages = residence(flow);
  return std::inner_product(weight.begin(), weight.end(), ages.age_s.begin(), 0.0);
}

// The adjoint against central differences of the whole non-linear answer.
TEST(FlowResponse, AgreesWithPluggingEachVentALittle) {
  for (const bool inertia : {false, true}) {
    const Elbow elbow(5);
    FlowSettings settings;
    settings.inertia = inertia;
    settings.tolerance = 1e-10;
    settings.residual = 1e-12;
    settings.most_rounds = 200;
    GasFlow flow = elbow.flow(settings);
    const FlowReport report = flow.solve();
    EXPECT_LE(report.change, 1e-10);
    const Residence ages = residence(flow);
    const double late = age_quantile_s(flow, ages, 0.9);
    std::vector<double> weight(ages.age_s.size(), 0.0);
    double all = 0;
    for (const std::uint32_t c : flow.cells())
      if (ages.age_s[c] >= late) all += weight[c] = flow.pore_mm3(c);
    for (double& w : weight) w /= all;
    const GasFlow::Response response = flow.response(age_gradient(flow, ages, weight));
    EXPECT_TRUE(response.converged);
    for (std::size_t v = 0; v < 3; ++v) {
      // Conductances are single numbers of 24 bits: a straight line through many differences averages their
      // rounding away, which one alone would show at a few parts in ten thousand.
      const double orifice = *elbow.vents[v].orifice_m2;
      double product = 0, squares = 0;
      for (int k = -8; k <= 8; ++k) {
        const double step = 1.25e-4 * k;
        flow.set_orifice(v, orifice * (1 + step));
        product += step * worst_age(flow, weight);
        squares += step * step;
      }
      flow.set_orifice(v, orifice);
      const double difference = product / squares;
      EXPECT_NEAR(response.by_log_orifice[v], difference, 1e-4 * std::abs(difference)) << v << inertia;
    }
  }
}

}  // namespace
}  // namespace boxfettle
