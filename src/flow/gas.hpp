// The gas that moves: air unless something else is said. SI units throughout this room (m, Pa, K, kg/s).
#pragma once

namespace boxfettle {

struct Gas {
  double constant_J_kgK = 287.05;      // specific gas constant of dry air
  double heat_ratio = 1.4;             // cp / cv
  double sutherland_scale = 1.458e-6;  // kg/(m s sqrt(K)), air
  double sutherland_K = 110.4;         // air
};

inline constexpr Gas air_gas{};
inline constexpr double celsius_zero_K = 273.15;
inline constexpr double standard_atmosphere_pa = 101325;

// Sutherland's law: mu = scale * T^1.5 / (T + S). Within about 2 % for air from -50 to 500 degC.
double viscosity_pa_s(double temperature_K, const Gas& gas = air_gas);

// Ideal gas: rho = p / (R T).
double density_kg_m3(double pressure_pa, double temperature_K, const Gas& gas = air_gas);

// Downstream over upstream pressure below which an ideal nozzle passes no more: (2 / (k + 1))^(k / (k - 1)).
double critical_pressure_ratio(const Gas& gas = air_gas);

}  // namespace boxfettle
