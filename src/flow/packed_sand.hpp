// How easily gas passes packed sand.
#pragma once

namespace boxfettle {

// Mass flux G along a pressure gradient, both laws in one (docs/how/gassing.md):
//   G (1 + b G) = -k / (2 mu R T) d(p^2)/dx,  b = beta k / mu   (Forchheimer; b = 0: Darcy)
struct PackedSand {
  double porosity;         // share of the volume between the grains
  double grain_m;          // diameter of like grains with the same surface
  double permeability_m2;  // k
  double inertia_per_m;    // beta
};

// Quartz, 2.65 g/cm3 (from memory): what is not grain is pore.
double porosity_of(double bulk_density_g_cm3);

// 13.6 mm over the grain fineness number: common practice (from memory). Sands of one number differ; a sieved
// sample of number 58.9 had 0.226 mm where this gives 0.231.
double grain_m_of_fineness(double grain_fineness);

// Kozeny and Carman: k = d^2 e^3 / (180 (1 - e)^2).
double kozeny_carman_m2(double grain_m, double porosity);

// Ergun's inertial term: beta = 1.75 (1 - e) / (e^3 d), with dp/dx = mu v / k + beta rho v^2.
double ergun_inertia_per_m(double grain_m, double porosity);

// The standard permeability number, V H / (p A t) with V in cm3, H in cm, p in cm of water, A in cm2, t in
// minutes, taken with air of 20 degC: k = number * 1.699527e-8 m2/(Pa s) * mu.
double permeability_m2_of_number(double permeability_number);

// From grain fineness and density alone.
PackedSand packed_sand(double grain_fineness, double bulk_density_g_cm3);

}  // namespace boxfettle
