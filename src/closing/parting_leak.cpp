#include "closing/parting_leak.hpp"

#include <algorithm>
#include <array>
#include <numbers>

#include "flow/gas.hpp"
#include "flow/orifice_flow.hpp"

namespace boxfettle {
namespace {

constexpr double mm = 1e-3;  // in m

double vents_kg_s(const CoreBox& box, double inside_pa, double temperature_K, double discharge) {
  double flow = 0;
  for (const Vent& vent : box.vents) {
    const double disc_m2 = std::numbers::pi / 4 * vent.diameter_mm * vent.diameter_mm * mm * mm;
    const double open_m2 = disc_m2 * vent.open_fraction * (1 - vent.plugged);
    flow +=
        orifice_flow(discharge * open_m2, inside_pa, standard_atmosphere_pa, temperature_K).mass_flow_kg_s;
  }
  return flow;
}

}  // namespace

Leak parting_leak(const CoreBox& box, const CavityFootprint& footprint, const GapField& opening,
                  const PartingGapSettings& settings) {
  Leak leak;
  const double inside_pa = standard_atmosphere_pa + 1e5 * box.air.blow_bar;
  const double temperature_K = settings.air_temperature_C + celsius_zero_K;
  std::array<double, 3> by_regime{};
  for (const PartingLine& line : footprint.outlines)
    for (std::size_t i = 0; i < line.size(); ++i) {
      const Eigen::Vector2d &a = line[i], &b = line[(i + 1) % line.size()];
      const double open_mm = std::max(opening.opening_mm(0.5 * (a + b)), 0.0);
      const double wide_mm = (b - a).norm();
      leak.area_mm2 += open_mm * wide_mm;
      const SlitFlow flow = slit_flow({wide_mm * mm, open_mm * mm, settings.land_mm * mm}, inside_pa,
                                      standard_atmosphere_pa, temperature_K);
      leak.mass_flow_kg_s += flow.mass_flow_kg_s;
      by_regime[static_cast<std::size_t>(flow.regime)] += flow.mass_flow_kg_s;
    }
  if (leak.mass_flow_kg_s > 0)
    leak.regime =
        static_cast<SlitRegime>(std::max_element(by_regime.begin(), by_regime.end()) - by_regime.begin());
  const double vents = vents_kg_s(box, inside_pa, temperature_K, settings.vent_discharge);
  if (vents > 0) leak.share_of_vents = leak.mass_flow_kg_s / vents;
  return leak;
}

}  // namespace boxfettle
