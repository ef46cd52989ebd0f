#include "flow/gas.hpp"

#include <cmath>

namespace boxfettle {

double viscosity_pa_s(double temperature_K, const Gas& gas) {
  return gas.sutherland_scale * temperature_K * std::sqrt(temperature_K) / (temperature_K + gas.sutherland_K);
}

double density_kg_m3(double pressure_pa, double temperature_K, const Gas& gas) {
  return pressure_pa / (gas.constant_J_kgK * temperature_K);
}

double critical_pressure_ratio(const Gas& gas) {
  const double k = gas.heat_ratio;
  return std::pow(2 / (k + 1), k / (k - 1));
}

}  // namespace boxfettle
