#include "flow/slit_flow.hpp"

#include <cmath>

#include "flow/orifice_flow.hpp"

namespace boxfettle {

std::string_view name(SlitRegime regime) {
  switch (regime) {
    case SlitRegime::laminar:
      return "laminar";
    case SlitRegime::turbulent:
      return "turbulent";
    case SlitRegime::nozzle:
      break;
  }
  return "nozzle";
}

SlitFlow slit_flow(const Slit& slit, double upstream_pa, double downstream_pa, double temperature_K,
                   const Gas& gas) {
  SlitFlow flow;
  if (!(slit.height_m > 0) || !(slit.width_m > 0) || !(upstream_pa > downstream_pa)) return flow;
  const double h = slit.height_m;
  const double viscosity = viscosity_pa_s(temperature_K, gas);
  const double gas_work = gas.constant_J_kgK * temperature_K;  // R T
  // Mass flow per area G of an isothermal gas in a channel of hydraulic diameter D = 2 h and Darcy friction
  // factor f: p1^2 - p2^2 = f (L / D) G^2 R T, acceleration left out (the nozzle caps it).
  const double push =
      (upstream_pa - downstream_pa) * (upstream_pa + downstream_pa) / (slit.length_m * gas_work);
  const double laminar = push * h * h / (24 * viscosity);  // f = 96 / Re
  const double turbulent =                                 // f = 0.316 Re^(-1/4)
      std::pow(push * std::pow(2 * h, 1.25) / (0.316 * std::pow(viscosity, 0.25)), 1 / 1.75);
  const OrificeFlow nozzle = orifice_flow(slit.discharge, upstream_pa, downstream_pa, temperature_K, gas);
  double flux = laminar;
  if (turbulent < flux) {
    flux = turbulent;
    flow.regime = SlitRegime::turbulent;
  }
  if (nozzle.mass_flow_kg_s < flux) {
    flux = nozzle.mass_flow_kg_s;
    flow.regime = SlitRegime::nozzle;
    flow.choked = nozzle.choked;
  }
  flow.mass_flow_kg_s = flux * h * slit.width_m;
  flow.reynolds = flux * 2 * h / viscosity;
  flow.outlet_mach =
      flux / density_kg_m3(downstream_pa, temperature_K, gas) / std::sqrt(gas.heat_ratio * gas_work);
  return flow;
}

}  // namespace boxfettle
