// Gas through a short opening: ideal nozzle flow, choked or not.
#pragma once

#include "flow/gas.hpp"

namespace boxfettle {

struct OrificeFlow {
  double mass_flow_kg_s = 0;
  bool choked = false;  // sonic in the opening: a lower pressure behind it draws no more
};

// `effective_area_m2` is area times discharge coefficient. Pressures absolute, temperature upstream. Zero
// when the pressure behind is not below the one before. Isentropic to the throat:
//   m = A p1 sqrt(2k / ((k - 1) R T1) (r^(2/k) - r^((k+1)/k))), r = p2 / p1, held at the critical ratio below
//   it.
// docs/how/air-leaks.md
OrificeFlow orifice_flow(double effective_area_m2, double upstream_pa, double downstream_pa,
                         double temperature_K, const Gas& gas = air_gas);

}  // namespace boxfettle
