#include "flow/packed_sand.hpp"

#include <algorithm>

#include "flow/gas.hpp"

namespace boxfettle {

namespace {
constexpr double quartz_g_cm3 = 2.65;
}

double porosity_of(double bulk_density_g_cm3) {
  // Heavier than quartz packs (chromite, zircon) would come out below any packing of round grains.
  return std::clamp(1 - bulk_density_g_cm3 / quartz_g_cm3, 0.2, 0.9);
}

double grain_m_of_fineness(double grain_fineness) {
  return 13.6e-3 / grain_fineness;
}

double kozeny_carman_m2(double grain_m, double porosity) {
  const double solid = 1 - porosity;
  return grain_m * grain_m * porosity * porosity * porosity / (180 * solid * solid);
}

double ergun_inertia_per_m(double grain_m, double porosity) {
  return 1.75 * (1 - porosity) / (porosity * porosity * porosity * grain_m);
}

double permeability_m2_of_number(double permeability_number) {
  return permeability_number * 1.699527e-8 * viscosity_pa_s(celsius_zero_K + 20);
}

PackedSand packed_sand(double grain_fineness, double bulk_density_g_cm3) {
  const double porosity = porosity_of(bulk_density_g_cm3);
  const double grain_m = grain_m_of_fineness(grain_fineness);
  return {porosity, grain_m, kozeny_carman_m2(grain_m, porosity), ergun_inertia_per_m(grain_m, porosity)};
}

}  // namespace boxfettle
