#include "venting/blow_model.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "flow/orifice_flow.hpp"

namespace boxfettle {
namespace {

// Sand in the cavity (its bulk volume), air and inner energy of both vessels, and what has left: through a
// square metre of vent, and through the gap.
enum Part { sand, magazine_air, cavity_air, magazine_heat, cavity_heat, through_vents, through_gap, parts };
using State = std::array<double, parts>;

struct Vessel {
  double volume_m3, temperature_K, pressure_pa;
};

class Filling {
 public:
  explicit Filling(const BlowCase& box)
      : box_(box), cv_(box.gas.constant_J_kgK / (box.gas.heat_ratio - 1)), cp_(cv_ * box.gas.heat_ratio) {
    for (const BlowPath& vent : box.vents) vent_m2_ += vent.effective_m2;
  }

  State start() const {
    State y{};
    y[magazine_air] = box_.magazine_pa * box_.magazine_m3 / rt();
    y[cavity_air] = box_.cavity_start_pa * box_.cavity_m3 / rt();
    y[magazine_heat] = y[magazine_air] * cv_ * box_.temperature_K;
    y[cavity_heat] = y[cavity_air] * cv_ * box_.temperature_K;
    return y;
  }

  // What is big enough to matter in each part, for the step's error.
  State scale() const {
    State s = start();
    s[sand] = box_.cavity_m3;
    s[through_vents] = s[cavity_air] / std::max(vent_m2_, 1e-12);
    s[through_gap] = s[cavity_air];
    return s;
  }

  Vessel magazine(const State& y) const {
    return vessel(box_.magazine_m3 + y[sand] * (1 - box_.porosity), y[magazine_air], y[magazine_heat]);
  }
  Vessel cavity(const State& y) const {
    return vessel(box_.cavity_m3 - y[sand] * (1 - box_.porosity), y[cavity_air], y[cavity_heat]);
  }

  State rate(const State& y) const {
    const Vessel from = magazine(y), in = cavity(y);
    State rate{};
    const double drive = std::max(from.pressure_pa - in.pressure_pa, 0.0);
    rate[sand] = box_.sand_discharge * box_.tube_m2 * std::sqrt(2 * drive / box_.bulk_kg_m3);
    const double carried =
        rate[sand] * box_.porosity * from.pressure_pa / (box_.gas.constant_J_kgK * from.temperature_K);
    const double out =
        orifice_flow(1, in.pressure_pa, box_.outside_pa, in.temperature_K, box_.gas).mass_flow_kg_s;
    rate[through_vents] = out;
    for (const Slit& slit : box_.gap)
      rate[through_gap] +=
          slit_flow(slit, in.pressure_pa, box_.outside_pa, in.temperature_K, box_.gas).mass_flow_kg_s;
    const double leaves = out * vent_m2_ + rate[through_gap];
    rate[magazine_air] = -carried;
    rate[cavity_air] = carried - leaves;
    // Open vessels that grow or shrink by the grains: dU = h in - h out - p dV.
    const double grains = rate[sand] * (1 - box_.porosity);
    rate[magazine_heat] = -carried * cp_ * from.temperature_K - from.pressure_pa * grains;
    rate[cavity_heat] =
        carried * cp_ * from.temperature_K - leaves * cp_ * in.temperature_K + in.pressure_pa * grains;
    return rate;
  }

  bool chokes(const State& y) const {
    const Vessel in = cavity(y);
    if (vent_m2_ > 0 && orifice_flow(1, in.pressure_pa, box_.outside_pa, in.temperature_K, box_.gas).choked)
      return true;
    return std::any_of(box_.gap.begin(), box_.gap.end(), [&](const Slit& slit) {
      return slit_flow(slit, in.pressure_pa, box_.outside_pa, in.temperature_K, box_.gas).choked;
    });
  }

  double vent_m2() const { return vent_m2_; }

 private:
  double rt() const { return box_.gas.constant_J_kgK * box_.temperature_K; }
  Vessel vessel(double volume, double air_kg, double heat_J) const {
    const double air = std::max(air_kg, 1e-12);
    const double temperature = box_.adiabatic ? std::max(heat_J, 1e-9) / (air * cv_) : box_.temperature_K;
    return {volume, temperature, air * box_.gas.constant_J_kgK * temperature / volume};
  }

  const BlowCase& box_;
  double cv_, cp_, vent_m2_ = 0;
};

struct Step {
  State end;
  double error;  // in units of the tolerance
};

// Dormand and Prince's pair of orders 5 and 4 (J. Comp. Appl. Math. 6, 1980; coefficients from memory, and
// held to their order by a test).
Step dormand_prince(const Filling& filling, const State& y, double h, const State& scale, double tolerance) {
  static constexpr double a[6][6] = {
      {1.0 / 5},
      {3.0 / 40, 9.0 / 40},
      {44.0 / 45, -56.0 / 15, 32.0 / 9},
      {19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729},
      {9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656},
      {35.0 / 384, 0, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84}};
  static constexpr double difference[7] = {71.0 / 57600,      0,          -71.0 / 16695, 71.0 / 1920,
                                           -17253.0 / 339200, 22.0 / 525, -1.0 / 40};
  std::array<State, 7> k;
  k[0] = filling.rate(y);
  State at = y;
  for (std::size_t stage = 1; stage < 7; ++stage) {
    at = y;
    for (std::size_t j = 0; j < stage; ++j)
      for (std::size_t p = 0; p < parts; ++p) at[p] += h * a[stage - 1][j] * k[j][p];
    k[stage] = filling.rate(at);
  }
  double worst = 0;
  for (std::size_t p = 0; p < parts; ++p) {
    double error = 0;
    for (std::size_t j = 0; j < 7; ++j) error += h * difference[j] * k[j][p];
    worst = std::max(worst, std::abs(error) / (tolerance * scale[p]));
  }
  return {at, worst};
}

}  // namespace

BlowRun blow(const BlowCase& box) {
  const Filling filling(box);
  const State scale = filling.scale();
  State y = filling.start();
  BlowRun run;
  run.step_tolerance = box.tolerance;
  double t = 0, h = 1e-5, choked_s = 0;
  run.peak_cavity_pa = box.cavity_start_pa;
  constexpr int most_steps = 200000;
  while (t < box.longest_s && y[sand] < box.cavity_m3 && run.steps < most_steps) {
    h = std::min(h, box.longest_s - t);
    const Step step = dormand_prince(filling, y, h, scale, box.tolerance);
    const double stretch = std::clamp(0.9 * std::pow(std::max(step.error, 1e-10), -0.2), 0.2, 5.0);
    if (step.error > 1) {
      h *= stretch;
      continue;
    }
    ++run.steps;
    // The step that fills the box ends where it is full: the sand runs evenly within a step.
    const double room = box.cavity_m3 - y[sand], laid = step.end[sand] - y[sand];
    if (laid > room && room > 1e-12 * box.cavity_m3) {
      h *= room / laid * (1 + 1e-13);
      if (laid > room * (1 + 1e-9)) continue;
    }
    t += h;
    y = step.end;
    const bool chokes = filling.chokes(y);
    run.choked = run.choked || chokes;
    choked_s += chokes ? h : 0;
    run.peak_cavity_pa = std::max(run.peak_cavity_pa, filling.cavity(y).pressure_pa);
    h *= stretch;
  }
  run.fills = y[sand] >= box.cavity_m3 * (1 - 1e-9);
  run.filled_share = std::min(y[sand] / box.cavity_m3, 1.0);
  run.fill_time_s = t;
  run.choked_share = t > 0 ? choked_s / t : 0;
  for (const BlowPath& vent : box.vents) run.vent_kg.push_back(vent.effective_m2 * y[through_vents]);
  run.gap_kg = y[through_gap];
  run.end_cavity_pa = filling.cavity(y).pressure_pa;
  run.end_magazine_pa = filling.magazine(y).pressure_pa;
  run.end_cavity_K = filling.cavity(y).temperature_K;
  const State first = filling.start();
  const double air = first[magazine_air] + first[cavity_air];
  run.mass_error = std::abs(y[magazine_air] + y[cavity_air] + filling.vent_m2() * y[through_vents] +
                            y[through_gap] - air) /
                   air;
  return run;
}

}  // namespace boxfettle
