// A vessel that empties through a nozzle, choked: closed forms of gas dynamics (textbook; derived here).
//   one temperature:  p = p0 exp(-t / tau),  tau = V / (A C sqrt(R T0))
//   no heat passed:   p = p0 (1 + (k - 1) / 2 t / tau)^(-2 k / (k - 1)),  the same tau
// with C = sqrt(k) (2 / (k + 1))^((k + 1) / (2 (k - 1))), 0.684731 for k = 1.4.
#include <gmock/gmock.h>

#include <cmath>
#include <cstdio>

#include "venting/blow_model.hpp"

namespace boxfettle {
namespace {

BlowCase a_vessel() {
  return {.magazine_m3 = 1e-3,
          .magazine_pa = standard_atmosphere_pa,
          .tube_m2 = 0,
          .cavity_m3 = 0.01,
          .porosity = 0.4,
          .bulk_kg_m3 = 1550,
          .vents = {{"nozzle", 1e-5}},
          .gap = {},
          .cavity_start_pa = 10e5,
          .longest_s = 4};
}

TEST(VesselBlowDown, OfOneTemperatureFallsExponentially) {
  BlowCase vessel = a_vessel();
  const BlowRun run = blow(vessel);
  const double tau = 0.01 / (1e-5 * 0.684731 * std::sqrt(287.05 * vessel.temperature_K));
  EXPECT_NEAR(run.end_cavity_pa / (10e5 * std::exp(-4 / tau)), 1, 1e-5);
  EXPECT_TRUE(run.choked);
}

TEST(VesselBlowDown, WithoutHeatFallsByItsPowerLaw) {
  BlowCase vessel = a_vessel();
  vessel.adiabatic = true;
  const BlowRun run = blow(vessel);
  const double tau = 0.01 / (1e-5 * 0.684731 * std::sqrt(287.05 * vessel.temperature_K));
  const double shrink = 1 + 0.2 * 4 / tau;
  EXPECT_NEAR(run.end_cavity_pa / (10e5 * std::pow(shrink, -7)), 1, 1e-5);
  EXPECT_NEAR(run.end_cavity_K / (vessel.temperature_K * std::pow(shrink, -2)), 1, 1e-5);
}

// What the integrator's coefficients are held to: a method of order 5 loses its error with the fifth power of
// its steps (Dormand and Prince carry the answer of order 5 on). The vessel is small and full, so that the
// steps with which it finds its pace are few beside the others.
TEST(VesselBlowDown, TheErrorFallsWithTheFifthPowerOfTheSteps) {
  BlowCase vessel = a_vessel();
  vessel.cavity_m3 = 1e-5;
  vessel.cavity_start_pa = 100e5;
  vessel.longest_s = 0.019;
  const double exact_c = std::sqrt(1.4) * std::pow(2 / 2.4, 3);  // all digits of C
  const double tau = 1e-5 / (1e-5 * exact_c * std::sqrt(287.05 * vessel.temperature_K));
  const double exact_pa = 100e5 * std::exp(-vessel.longest_s / tau);
  ASSERT_GT(exact_pa, standard_atmosphere_pa / 0.528282) << "still choked";
  std::vector<std::pair<double, double>> runs;  // steps, error
  for (const double tolerance : {1e-8, 1e-10, 1e-12}) {
    vessel.tolerance = tolerance;
    const BlowRun run = blow(vessel);
    runs.emplace_back(run.steps, std::abs(run.end_cavity_pa / exact_pa - 1));
    std::printf("tolerance %.0e: %d steps, error %.1e\n", tolerance, run.steps, runs.back().second);
  }
  const double order = std::log(runs[0].second / runs[2].second) / std::log(runs[2].first / runs[0].first);
  std::printf("order %.2f\n", order);
  EXPECT_NEAR(order, 5, 0.5);
}

}  // namespace
}  // namespace boxfettle
