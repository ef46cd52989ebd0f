#include "venting/plug_responses.hpp"

#include <algorithm>
#include <array>

#include "venting/purging.hpp"
#include "venting/reached_last.hpp"

namespace boxfettle {
namespace {

// Most of the lateness comes with the last of the opening, so the steps crowd there.
constexpr std::array steps_from_clean{0.0, 0.4, 0.7, 0.85, 0.93, nearly_shut};

std::vector<double> steps_with(double found) {
  std::vector<double> steps(steps_from_clean.begin(), steps_from_clean.end());
  std::erase_if(steps, [&](double step) { return std::abs(step - found) < 1e-9; });
  steps.push_back(found);
  std::sort(steps.begin(), steps.end());
  return steps;
}

template <typename Age>
double limit_between(const std::vector<PlugStep>& steps, double limit_s, const Age& age_at) {
  const auto late = [&](const PlugStep& step) { return step.standing.worst_age_s > limit_s; };
  const auto first = std::find_if(steps.begin(), steps.end(), late);
  if (first == steps.end()) return 1;
  if (first == steps.begin()) return 0;
  double low = (first - 1)->plugged, high = first->plugged;
  for (int i = 0; i < 4; ++i) {
    const double middle = 0.5 * (low + high);
    (age_at(middle) <= limit_s ? low : high) = middle;
  }
  return low;
}

}  // namespace

GasStanding gas_standing(GasFlow& flow, const VentingBox& box, double gas_seconds,
                         const VentingLines& lines) {
  flow.solve();
  const Residence ages = residence(flow);
  GasStanding standing;
  for (std::size_t v = 0; v < flow.vents().size(); ++v) standing.vent_kg_s.push_back(flow.vent_flow(v));
  standing.leak_kg_s = flow.leak_flow();
  standing.p50_s = age_quantile_s(flow, ages, 0.5);
  standing.p95_s = age_quantile_s(flow, ages, 0.95);
  standing.worst_age_s = mean_age_s(age_band(flow, ages, 1 - lines.worst_share.value, 1), ages);
  standing.unpurged_fraction = unpurged_fraction(flow, ages, gas_seconds, box.state().outlet_pa);
  return standing;
}

PlugResponses plug_responses(const VentingBox& box, const std::vector<Vent>& vents, double gas_seconds,
                             const VentingLines& lines, double limit_over_designed,
                             const FlowSettings& settings, const std::function<void(double share)>& told) {
  PlugResponses responses;
  GasFlow designed = box.flow(VentingBox::State::as_designed, settings);
  responses.designed = gas_standing(designed, box, gas_seconds, lines);
  const double limit_s = limit_over_designed * responses.designed.worst_age_s;
  GasFlow flow = box.flow(VentingBox::State::as_found, settings);
  responses.found = gas_standing(flow, box, gas_seconds, lines);
  for (std::size_t v = 0; v < vents.size(); ++v) {
    const auto at = [&](double plugged) {
      flow.set_orifice(v, box.orifice_m2(v, plugged));
      return gas_standing(flow, box, gas_seconds, lines);
    };
    std::vector<PlugStep> steps;
    for (const double plugged : steps_with(vents[v].plugged))
      steps.push_back({plugged, plugged == vents[v].plugged ? responses.found : at(plugged)});
    responses.limit.push_back(
        limit_between(steps, limit_s, [&](double plugged) { return at(plugged).worst_age_s; }));
    responses.steps.push_back(std::move(steps));
    flow.set_orifice(v, box.orifice_m2(v, vents[v].plugged));
    told(static_cast<double>(v + 1) / static_cast<double>(vents.size()));
  }
  return responses;
}

}  // namespace boxfettle
