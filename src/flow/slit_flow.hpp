// Gas through a long, narrow slit: the leak of a parting face that stands open.
#pragma once

#include <string_view>

#include "flow/gas.hpp"

namespace boxfettle {

struct Slit {
  double width_m;        // across the flow: along the outline
  double height_m;       // the opening
  double length_m;       // in the direction of flow: across the sealing land
  double discharge = 1;  // of the opening as a nozzle; 1 lets the most through
};

// What holds the flow back most.
enum class SlitRegime { laminar, turbulent, nozzle };
std::string_view name(SlitRegime regime);  // "laminar", "turbulent", "nozzle"

struct SlitFlow {
  double mass_flow_kg_s = 0;
  SlitRegime regime = SlitRegime::laminar;
  bool choked = false;     // only a nozzle chokes
  double reynolds = 0;     // on twice the height, 2 m / (w mu)
  double outlet_mach = 0;  // of the mean speed
};

// Pressures absolute. The least of three: plane Poiseuille flow of an isothermal gas,
//   m = w h^3 (p1^2 - p2^2) / (24 mu L R T);
// turbulent flow with Blasius's friction factor 0.316 Re^(-1/4) on the hydraulic diameter 2 h; and the nozzle
// that the opening itself is (orifice_flow). Zero for a closed slit or no fall of pressure.
// docs/how/air-leaks.md
SlitFlow slit_flow(const Slit& slit, double upstream_pa, double downstream_pa, double temperature_K,
                   const Gas& gas = air_gas);

}  // namespace boxfettle
