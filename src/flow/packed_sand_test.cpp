#include "flow/packed_sand.hpp"

#include <gmock/gmock.h>

#include "flow/gas.hpp"

namespace boxfettle {
namespace {

TEST(PackedSand, FinerGrainsAndDenserPackingLetLessThrough) {
  EXPECT_GT(packed_sand(40, 1.55).permeability_m2, packed_sand(60, 1.55).permeability_m2);
  EXPECT_GT(packed_sand(55, 1.50).permeability_m2, packed_sand(55, 1.65).permeability_m2);
  EXPECT_LT(packed_sand(40, 1.55).inertia_per_m, packed_sand(60, 1.55).inertia_per_m);
}

// Ergun (1952) writes 150 where Kozeny and Carman's 180 stands; at 0.25 mm, porosity 0.40, 1 m/s of air at
// 20 degC of 1.2 kg/m3 his two terms are 244,350 and 78,750 Pa/m with mu = 1.81e-5 (computed from his
// formula).
TEST(PackedSand, ErgunsTwoTermsComeBack) {
  const double mu = 1.81e-5, rho = 1.2, speed = 1;
  const double viscous = mu * speed / (kozeny_carman_m2(0.25e-3, 0.40) * 180 / 150);
  EXPECT_NEAR(viscous, 244350, 1);
  EXPECT_NEAR(ergun_inertia_per_m(0.25e-3, 0.40) * rho * speed * speed, 78750, 1);
}

// Kozeny-Carman values at 0.15, 0.25, 0.40 mm and porosity 0.35, 0.40, 0.45, computed elsewhere from the
// formula.
TEST(PackedSand, PermeabilityIsThatOfTheTable) {
  EXPECT_NEAR(kozeny_carman_m2(0.15e-3, 0.35), 1.2685e-11, 1e-15);
  EXPECT_NEAR(kozeny_carman_m2(0.25e-3, 0.40), 6.1728e-11, 1e-15);
  EXPECT_NEAR(kozeny_carman_m2(0.40e-3, 0.45), 2.6777e-10, 1e-14);
}

// 2000 cm3 of air at 10 cm of water through a specimen 50.8 mm across and high: number = 3007.65 / seconds.
TEST(PackedSand, AStandardNumberIsTheTestsOwnDarcyLaw) {
  const double seconds = 30, number = 3007.65 / seconds;
  const double area_m2 = 20.2683e-4, height_m = 0.0508, pressure_pa = 980.665, volume_m3 = 2e-3;
  const double speed = volume_m3 / seconds / area_m2;
  const double by_darcy = viscosity_pa_s(celsius_zero_K + 20) * speed * height_m / pressure_pa;
  EXPECT_NEAR(permeability_m2_of_number(number) / by_darcy, 1, 1e-3);
  EXPECT_NEAR(permeability_m2_of_number(100), 3.0819e-11, 1e-15);
}

}  // namespace
}  // namespace boxfettle
