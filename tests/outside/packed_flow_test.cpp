// Gas through packed sand against closed forms of Darcy's and Forchheimer's laws for an ideal gas of one
// temperature: (p1^2 - p0^2) / (2 R T) takes the place of the pressure difference. Derived here from the
// laws; to be found in any text on flow through porous media (e.g. Bear, Dynamics of Fluids in Porous Media,
// 1972; from memory).
#include <gmock/gmock.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "demo/plain_solids.hpp"
#include "geometry/implicit_mesh.hpp"
#include "venting/gas_flow.hpp"
#include "venting/purging.hpp"
#include "venting/residence.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;
constexpr double pi = std::numbers::pi;

constexpr double absolute_pa(double gauge_bar) {
  return standard_atmosphere_pa + gauge_bar * 1e5;
}

double conductivity(const PackedSand& sand, const GasState& state) {
  return sand.permeability_m2 /
         (2 * viscosity_pa_s(state.temperature_K) * state.gas.constant_J_kgK * state.temperature_K);
}

double span_pa2(const GasState& state) {
  return state.inlet_pa * state.inlet_pa - state.outlet_pa * state.outlet_pa;
}

// A straight bar of sand between two open ends.
struct Bar {
  double length_mm = 100;
  TriangleMesh mesh = demo::block({100, 20, 20});
  CutCells cavity = cut_cells(mesh, {{0, 0, 0}, 2.0, {50, 10, 10}});
  Inlet inlet{"in", end(0), 400};
  VentPath outlet{"out", end(49), 400, {}};

  std::vector<PatchCell> end(int x) const {
    std::vector<PatchCell> cells;
    for (int y = 0; y < 10; ++y)
      for (int z = 0; z < 10; ++z) cells.push_back({cavity.grid.cell(x, y, z), 2.0});
    return cells;
  }
};

PackedSand sand_of(double grain_mm, double porosity) {
  const double grain_m = grain_mm * 1e-3;
  return {porosity, grain_m, kozeny_carman_m2(grain_m, porosity), ergun_inertia_per_m(grain_m, porosity)};
}

// m = k A (p1^2 - p0^2) / (2 mu L R T), worked out by hand for k 3e-11 m2, A 1e-3 m2, L 0.1 m, 3 and 1 bar,
// 20 degC, mu 1.8134e-5 Pa s, R 287.05 J/(kg K).
TEST(PackedFlow, AStraightBarFollowsDarcy) {
  const TriangleMesh mesh = demo::block({100, 40, 25});
  const CutCells cavity = cut_cells(mesh, {{0, 0, 0}, 2.5, {40, 16, 10}});
  Inlet inlet{"in", {}, 1000};
  VentPath outlet{"out", {}, 1000, {}};
  for (int y = 0; y < 16; ++y)
    for (int z = 0; z < 10; ++z) {
      inlet.cells.push_back({cavity.grid.cell(0, y, z), 2.0});
      outlet.cells.push_back({cavity.grid.cell(39, y, z), 2.0});
    }
  FlowSettings darcy;
  darcy.inertia = false;
  GasFlow flow(cavity, {.porosity = 0.4, .grain_m = 2e-4, .permeability_m2 = 3e-11, .inertia_per_m = 1e5},
               {.inlet_pa = 3e5, .outlet_pa = 1e5, .temperature_K = 293.15}, {inlet}, {outlet}, {}, darcy);
  const FlowReport report = flow.solve();
  EXPECT_NEAR(flow.total_flow(), 7.8639e-3, 1e-7);
  EXPECT_LE(report.balance_error, 1e-8);
}

// Ergun's equation (S. Ergun, Chem. Eng. Prog. 48, 1952; 180 for his 150) for grains of 0.25 mm, porosity
// 0.40, over 100 mm, air of 40 degC into 101325 Pa: integrated along the bar by another program's Runge-Kutta
// steps, the flux found by trial. kg/(m2 s).
TEST(PackedFlow, AStraightBarFollowsErgunsEquationIntegratedElsewhere) {
  const Bar bar;
  for (const auto& [gauge_bar, flux] : {std::pair{0.1, 0.355868}, {1.0, 3.230867}, {2.0, 6.236249}}) {
    const GasState state{.inlet_pa = absolute_pa(gauge_bar), .temperature_K = celsius_zero_K + 40};
    GasFlow flow(bar.cavity, sand_of(0.25, 0.40), state, {bar.inlet}, {bar.outlet});
    const FlowReport report = flow.solve();
    EXPECT_NEAR(flow.total_flow() / 400e-6 / flux, 1, 1e-5) << gauge_bar << " bar, " << report.rounds;
    EXPECT_LE(report.balance_error, 1e-8);
  }
}

// Resistances in series add up: L / k = L1 / k1 + L2 / k2.
TEST(PackedFlow, TwoLayersInSeriesHoldBackWhatEachDoes) {
  const Bar bar;
  const double fine = 0.2, coarse = 1.0;  // conductivity of cells 0 to 19, and of the rest
  FaceConductances faces;
  for (std::size_t axis = 0; axis < 3; ++axis)
    faces[axis].assign(bar.cavity.aperture[axis].begin(), bar.cavity.aperture[axis].end());
  for (std::uint32_t c = 0; c < bar.cavity.grid.value_count(); ++c) {
    if (bar.cavity.volume[c] == 0) continue;
    const int x = bar.cavity.grid.place(c)[0];
    const double across = x == 19 ? 2 * fine * coarse / (fine + coarse) : x < 19 ? fine : coarse;
    faces[0][c] *= static_cast<float>(across);
    for (std::size_t axis = 1; axis < 3; ++axis) faces[axis][c] *= static_cast<float>(x < 20 ? fine : coarse);
  }
  std::vector<Well> wells;
  std::vector<Source> sources;
  for (const PatchCell& c : bar.end(0)) {
    wells.push_back({c.cell, 2 * fine});
    sources.push_back({c.cell, 2 * fine});
  }
  for (const PatchCell& c : bar.end(49)) wells.push_back({c.cell, 2 * coarse});
  GridSolver solver(bar.cavity.grid, std::move(faces), wells);
  std::vector<double> u(bar.cavity.grid.value_count(), 0.0);
  solver.solve(sources, u);
  double flow = 0;
  for (const PatchCell& c : bar.end(0)) flow += 2 * fine * (1 - u[c.cell]);
  // Conductances are single numbers: seven digits.
  EXPECT_NEAR(flow / (100 / (20 / fine + 30 / coarse)), 1, 1e-6);
}

// Fed from inside a ball or a cylinder, drained outside: the radii are met where each cell's way out crosses
// them (Shortley and Weller), so that no wall is involved.
struct Around {
  CutCells cavity;
  Inlet inlet{"in", {}, 1e6};
  VentPath outlet{"out", {}, 1e6, {}};

  Around(bool ball, double inner_mm, double outer_mm, double voxel_mm) {
    const int n = 2 * static_cast<int>(std::ceil((outer_mm + voxel_mm) / voxel_mm));
    const int layers = ball ? n : 2;
    const Vector3d low(-0.5 * n * voxel_mm, -0.5 * n * voxel_mm, -0.5 * layers * voxel_mm);
    const TriangleMesh block = demo::block(-2 * low, low);
    cavity = cut_cells(block, {low, voxel_mm, {n, n, layers}});
    const auto radius = [&](std::uint32_t c) {
      Vector3d at = cavity.lattice.centre_mm(cavity.grid.place(c));
      if (!ball) at.z() = 0;
      return at.norm();
    };
    const auto inside = [&](std::uint32_t c) {
      return cavity.volume[c] > 0 && radius(c) > inner_mm && radius(c) < outer_mm;
    };
    for (std::uint32_t c = 0; c < cavity.grid.value_count(); ++c) {
      if (cavity.volume[c] == 0) continue;
      const auto faces = cavity.grid.faces(c);
      for (std::size_t f = 0; f < 6; ++f) {
        float& open = cavity.aperture[f / 2][faces[f].holder];
        if (open == 0 || !inside(c) || inside(faces[f].other)) continue;
        Vector3d at = cavity.lattice.centre_mm(cavity.grid.place(c)), step = Vector3d::Zero();
        step[static_cast<Eigen::Index>(f / 2)] = f % 2 == 0 ? voxel_mm : -voxel_mm;
        if (!ball) at.z() = 0;
        const bool inward = radius(faces[f].other) <= inner_mm;
        const double wall = inward ? inner_mm : outer_mm;
        // |at + t step| = wall
        const double a = step.squaredNorm(), b = at.dot(step), c2 = at.squaredNorm() - wall * wall;
        const double root = std::sqrt(b * b - a * c2);
        const double t = inward ? (-b - root) / a : (-b + root) / a;
        (inward ? inlet.cells : outlet.cells).push_back({c, 1 / std::max(t, 1e-3)});
      }
    }
    for (std::uint32_t c = 0; c < cavity.grid.value_count(); ++c)
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::uint32_t other = cavity.grid.faces(c)[2 * axis].other;
        if (cavity.aperture[axis][c] > 0 && (!inside(c) || !inside(other))) cavity.aperture[axis][c] = 0;
      }
  }
};

double order(double coarse_error, double fine_error) {
  return std::log2(std::abs(coarse_error / fine_error));
}

TEST(PackedFlow, FlowAroundAnAxisAndAPointFollowsDarcy) {
  const PackedSand sand = sand_of(0.25, 0.40);
  const GasState state{.inlet_pa = absolute_pa(1)};
  FlowSettings darcy;
  darcy.inertia = false;
  for (const bool ball : {false, true}) {
    double last = 0;
    for (const double voxel : {2.0, 1.0}) {
      const Around around(ball, 8, 24, voxel);
      GasFlow flow(around.cavity, sand, state, {around.inlet}, {around.outlet}, {}, darcy);
      flow.solve();
      const double k = conductivity(sand, state) * span_pa2(state);
      const double exact =
          ball ? 4 * pi * k / (1 / 8e-3 - 1 / 24e-3) : 2 * pi * k * 2 * voxel * 1e-3 / std::log(24.0 / 8.0);
      const double error = flow.total_flow() / exact - 1;
      std::printf("%s, voxel %.1f mm: error %.4f%s", ball ? "ball" : "cylinder", voxel, error,
                  last != 0 ? "" : "\n");
      if (last != 0) std::printf(", order %.2f\n", order(last, error));
      if (last != 0) {
        EXPECT_LT(std::abs(error), 0.5 * std::abs(last) + 1e-4);
      }
      EXPECT_LT(std::abs(error), 0.02);
      last = error;
    }
  }
}

// Forchheimer's law integrated outwards, K (p1^2 - p2^2) = integral of G + b G^2 from r1 to r2. Around an
// axis, h high, G = m / (2 pi r h):   q ln(r2 / r1) + b q^2 (1/r1 - 1/r2),  q = m / (2 pi h); around a point,
// G = m / (4 pi r^2):   q (1/r1 - 1/r2) + b q^2 (1/r1^3 - 1/r2^3) / 3,  q = m / (4 pi).
struct RadialForchheimer {
  bool ball;
  double k, b;  // K, and Forchheimer's b

  double viscous(double r1, double r2) const { return ball ? 1 / r1 - 1 / r2 : std::log(r2 / r1); }
  double inertial(double r1, double r2) const {
    return b * (ball ? (std::pow(r1, -3) - std::pow(r2, -3)) / 3 : 1 / r1 - 1 / r2);
  }
  double fall_pa2(double q, double r1, double r2) const {
    return (q * viscous(r1, r2) + q * q * inertial(r1, r2)) / k;
  }
  double q(double fall_pa2, double r1, double r2) const {
    const double one = viscous(r1, r2), two = inertial(r1, r2);
    return (-one + std::sqrt(one * one + 4 * two * k * fall_pa2)) / (2 * two);
  }
};

// By how much the fall of p^2 between two radii inside the sand misses that of the flow found: what the sand
// does, whatever its walls do.
double miss_within(const GasFlow& flow, const RadialForchheimer& law, double q, double span) {
  const double near = 14, far = 22;
  std::array<double, 2> sum{}, count{};
  for (const std::uint32_t c : flow.cells()) {
    Vector3d at = flow.cavity().lattice.centre_mm(flow.cavity().grid.place(c));
    if (!law.ball) at.z() = 0;
    const double r = at.norm();
    for (const std::size_t end : {0, 1}) {
      if (std::abs(r - (end == 0 ? near : far)) > 1) continue;
      sum[end] += flow.u(c) * span + law.fall_pa2(q, near * 1e-3, r * 1e-3);
      count[end] += 1;
    }
  }
  return (sum[0] / count[0] - sum[1] / count[1]) / law.fall_pa2(q, near * 1e-3, far * 1e-3);
}

TEST(PackedFlow, FlowAroundAnAxisAndAPointComesToForchheimersAsTheVoxelShrinks) {
  const PackedSand sand = sand_of(0.25, 0.40);
  const GasState state{.inlet_pa = absolute_pa(1)};
  for (const bool ball : {false, true}) {
    const RadialForchheimer law{
        ball, conductivity(sand, state),
        sand.inertia_per_m * sand.permeability_m2 / viscosity_pa_s(state.temperature_K)};
    const double exact = law.q(span_pa2(state), 12e-3, 24e-3);
    std::vector<double> within;
    for (const double voxel : {1.5, 0.75}) {
      Around around(ball, 12, 24, voxel);
      const double height_mm = 2 * voxel;
      const auto wall_mm2 = [&](double r) { return ball ? 4 * pi * r * r : 2 * pi * r * height_mm; };
      around.inlet.disc_mm2 = wall_mm2(12);
      around.outlet.disc_mm2 = wall_mm2(24);
      GasFlow flow(around.cavity, sand, state, {around.inlet}, {around.outlet});
      EXPECT_TRUE(flow.solve().converged);
      const double q = flow.total_flow() / (ball ? 4 * pi : 2 * pi * height_mm * 1e-3);
      within.push_back(miss_within(flow, law, q, span_pa2(state)));
      std::printf("%s, Forchheimer, voxel %.2f mm: flow off by %.4f, fall within the sand by %.5f\n",
                  ball ? "ball" : "cylinder", voxel, q / exact - 1, within.back());
      // The last half voxel before each wall counts as one flat opening: an error in proportion to the voxel.
      EXPECT_LT(std::abs(q / exact - 1), 0.05 * voxel);
    }
    std::printf("order %.2f\n", order(within[0], within[1]));
    EXPECT_GT(order(within[0], within[1]), 0.9);
    EXPECT_LT(std::abs(within[1]), 0.005);
  }
}

// Gas around a bend whose curved walls cut the cells: u falls evenly with the angle, so the flow is
// K (p1^2 - p0^2) t ln(r2 / r1) / pi.
TEST(PackedFlow, ABendsCurvedWallsConvergeAtFirstOrderOrBetter) {
  const double inner = 12.3, outer = 30.7, thick = 8;
  ImplicitMeshSettings fine;
  fine.cell_mm = 0.25;
  fine.steepest_slope = 1;
  Bounds room;
  room.include({-outer - 1, 0, 0});
  room.include({outer + 1, outer + 1, thick});
  const TriangleMesh bend = mesh_of_implicit(
      [&](const Vector3d& p) {
        const double r = std::hypot(p.x(), p.y());
        return std::max(inner - r, r - outer);
      },
      room, fine);
  const PackedSand sand = sand_of(0.25, 0.40);
  const GasState state{.inlet_pa = absolute_pa(1)};
  FlowSettings darcy;
  darcy.inertia = false;
  std::vector<double> errors;
  for (const double voxel : {4.0, 2.0, 1.0}) {
    const int nx = 2 * static_cast<int>(std::ceil(32 / voxel)), ny = nx / 2;
    const Lattice lattice{{-0.5 * nx * voxel, 0, 0}, voxel, {nx, ny, static_cast<int>(thick / voxel)}};
    const CutCells cavity = cut_cells(bend, lattice);
    Inlet inlet{"in", {}, 1e6};
    VentPath outlet{"out", {}, 1e6, {}};
    for (const std::uint32_t c : [&] {
           std::vector<std::uint32_t> cells;
           for (std::uint32_t i = 0; i < cavity.grid.value_count(); ++i)
             if (cavity.volume[i] > 0 && cavity.grid.place(i)[1] == 0) cells.push_back(i);
           return cells;
         }())
      (cavity.lattice.centre_mm(cavity.grid.place(c)).x() < 0 ? inlet.cells : outlet.cells)
          .push_back({c, 2.0 * static_cast<double>(cavity.volume[c])});
    GasFlow flow(cavity, sand, state, {inlet}, {outlet}, {}, darcy);
    flow.solve();
    const double exact =
        conductivity(sand, state) * span_pa2(state) * thick * 1e-3 * std::log(outer / inner) / pi;
    errors.push_back(flow.total_flow() / exact - 1);
    std::printf("bend, voxel %.1f mm: error %.5f", voxel, errors.back());
    if (errors.size() > 1) std::printf(", order %.2f", order(errors[errors.size() - 2], errors.back()));
    std::printf("\n");
  }
  EXPECT_LT(std::abs(errors[2]), 0.01);
  EXPECT_GT(order(errors[0], errors[2]) / 2, 0.9);
}

// The standard permeability test on its own specimen, 50.8 mm across and high, 980.665 Pa: the number worked
// out from the time for 2000 cm3 by P = V H / (p A t) must lead back to the permeability that went in.
TEST(PackedFlow, TheStandardPermeabilityTestReadsItsOwnSpecimen) {
  ImplicitMeshSettings fine;
  fine.cell_mm = 0.7;
  fine.steepest_slope = 1;
  Bounds room;
  room.include({-27, -27, 0});
  room.include({27, 27, 50.8});
  const TriangleMesh specimen =
      mesh_of_implicit([](const Vector3d& p) { return std::hypot(p.x(), p.y()) - 25.4; }, room, fine);
  const double voxel = 50.8 / 40;
  const CutCells cavity = cut_cells(specimen, {{-22 * voxel, -22 * voxel, 0}, voxel, {44, 44, 40}});
  PackedSand sand = sand_of(0.25, 0.40);
  sand.permeability_m2 = permeability_m2_of_number(120);
  const GasState state{.inlet_pa = standard_atmosphere_pa + 980.665};
  Inlet inlet{"in", {}, 2027};
  VentPath outlet{"out", {}, 2027, {}};
  for (std::uint32_t c = 0; c < cavity.grid.value_count(); ++c) {
    const int z = cavity.volume[c] > 0 ? cavity.grid.place(c)[2] : -1;
    if (z == 0) inlet.cells.push_back({c, 2.0 * static_cast<double>(cavity.volume[c])});
    if (z == 39) outlet.cells.push_back({c, 2.0 * static_cast<double>(cavity.volume[c])});
  }
  FlowSettings darcy;
  darcy.inertia = false;
  GasFlow flow(cavity, sand, state, {inlet}, {outlet}, {}, darcy);
  flow.solve();
  const double mean_pa = 0.5 * (state.inlet_pa + state.outlet_pa);
  const double cm3_per_minute = flow.total_flow() / density_kg_m3(mean_pa, state.temperature_K) * 1e6 * 60;
  const double minutes = 2000 / cm3_per_minute;
  const double number = 2000 * 5.08 / (10 * 20.2683 * minutes);
  EXPECT_NEAR(number, 120, 0.3);
  // Ergun's term takes a little even here.
  GasFlow with_inertia(cavity, sand, state, {inlet}, {outlet});
  with_inertia.solve();
  EXPECT_LT(with_inertia.total_flow(), flow.total_flow());
  EXPECT_GT(with_inertia.total_flow(), 0.97 * flow.total_flow());
}

// Along a bar the age at the outlet is the gas held over the flow, and the age halfway is known too: with
// p^2 falling evenly, age(x) = A porosity / (R T m) * integral of p.
TEST(PackedFlow, AgeAlongABarIsTheGasHeldUpstreamOverTheFlow) {
  const Bar bar;
  const PackedSand sand = sand_of(0.25, 0.40);
  const GasState state{.inlet_pa = absolute_pa(2)};
  GasFlow flow(bar.cavity, sand, state, {bar.inlet}, {bar.outlet});
  flow.solve();
  const Residence ages = residence(flow);
  const double p1 = state.inlet_pa, slope = span_pa2(state) / 0.1;
  const auto held_to = [&](double x_m) {
    const double p = std::sqrt(p1 * p1 - slope * x_m);
    return 0.40 * 400e-6 / (287.05 * state.temperature_K) * 2 / (3 * slope) * (p1 * p1 * p1 - p * p * p);
  };
  // A cell's age is that of what leaves it.
  const std::uint32_t half = bar.cavity.grid.cell(24, 5, 5), last = bar.cavity.grid.cell(49, 5, 5);
  EXPECT_NEAR(ages.age_s[half] / (held_to(0.05) / flow.total_flow()), 1, 2e-3);
  EXPECT_NEAR(ages.age_s[last] / (held_to(0.1) / flow.total_flow()), 1, 2e-3);
  EXPECT_NEAR(ages.mean_outlet_age_s / (held_to(0.1) / flow.total_flow()), 1, 2e-3);
}

// A bar that gas passes, and behind a neck of one voxel a room that leads nowhere. No gas flows there once
// its pressure stands: by Boyle's law its first air is squeezed to p0 / p1 of the room, with p1 the pressure
// where the neck leaves the bar (p^2 falls evenly along it), and stays however long gas passes by.
TEST(PackedFlow, ADeadBranchKeepsItsFirstAirByBoylesLaw) {
  TriangleMesh mesh = demo::block({100, 20, 20});
  demo::add(mesh, demo::block({2, 4, 2}, {50, 19, 10}));
  demo::add(mesh, demo::block({20, 40, 20}, {40, 22, 0}));
  const CutCells cavity = cut_cells(mesh, {{0, 0, 0}, 2.0, {50, 31, 10}});
  Inlet inlet{"in", {}, 400};
  VentPath outlet{"out", {}, 400, {}};
  for (int y = 0; y < 10; ++y)
    for (int z = 0; z < 10; ++z) {
      inlet.cells.push_back({cavity.grid.cell(0, y, z), 2.0});
      outlet.cells.push_back({cavity.grid.cell(49, y, z), 2.0});
    }
  const double bar = 100 * 20 * 20, neck = 2 * 2 * 2, room = 20 * 40 * 20;
  for (const double gauge_bar : {0.5, 1.5, 3.0}) {
    const GasState state{.inlet_pa = absolute_pa(gauge_bar)};
    FlowSettings darcy;
    darcy.inertia = false;
    GasFlow flow(cavity, sand_of(0.25, 0.40), state, {inlet}, {outlet}, {}, darcy);
    flow.solve();
    const Residence ages = residence(flow);
    const double p1 = std::sqrt(state.inlet_pa * state.inlet_pa - 0.51 * span_pa2(state));
    const double dead = (room + neck) / (bar + neck + room) * state.outlet_pa / p1;
    // Long after the bar is purged (the gas in it is renewed within a second), and ten thousand times longer.
    for (const double seconds : {10.0, 1e5})
      EXPECT_NEAR(unpurged_fraction(flow, ages, seconds, state.outlet_pa) / dead, 1, 1e-6) << gauge_bar;
  }
}

}  // namespace
}  // namespace boxfettle
