#include "service/air_figures.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "closing/feeler_opening.hpp"
#include "service/box_on_record.hpp"
#include "venting/blow_study.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

constexpr std::uint32_t most_step_s = 20;  // someone waits for the answer

std::optional<Computed::Verdict> told(const std::string& verdict) {
  if (verdict == "fit") return Computed::Verdict::fit;
  if (verdict == "watch") return Computed::Verdict::watch;
  if (verdict == "hold") return Computed::Verdict::hold;
  return std::nullopt;
}

// The worst first, a few of them: all are on the page of the box's air. And what to do next.
std::string sentence(const std::string& about, const Computed::Verdict verdict,
                     const std::vector<std::string>& reasons, const std::string& when_fit) {
  constexpr std::size_t told_at_most = 2;
  if (verdict == Computed::Verdict::fit || reasons.empty()) return about + ": " + when_fit + ".";
  std::string text = about + ": " + reasons.front();
  for (std::size_t i = 1; i < std::min(reasons.size(), told_at_most); ++i) text += "; " + reasons[i];
  if (reasons.size() > told_at_most)
    text += "; and " + std::to_string(reasons.size() - told_at_most) + " more";
  return text + ". Clean the vents and see that the halves close; 'Air and gas' says which matters most.";
}

void add_seconds(Computed& figure, const char* name, const json& value) {
  if (value.is_number()) figure.figures.push_back({name, value, "s"});
}

std::optional<Computed> filling(const json& blow, const std::string& state) {
  const auto verdict = told(blow["verdict"]);
  if (!verdict) return std::nullopt;
  Computed figure;
  figure.what = filling_figure;
  figure.verdict = *verdict;
  figure.text = sentence("Filling, " + state, *verdict, blow["reasons"],
                         "it fills as fast as designed, within the limit");
  add_seconds(figure, "fill time", blow["fill_time_s"]);
  add_seconds(figure, "fill time as designed", blow["as_designed"]["fill_time_s"]);
  return figure;
}

std::optional<Computed> gassing(const json& gas) {
  const auto verdict = told(gas["verdict"]);
  if (!verdict) return std::nullopt;
  Computed figure;
  figure.what = gassing_figure;
  figure.verdict = *verdict;
  figure.text = sentence("Gassing, vents as found", *verdict, gas["reasons"],
                         "gas reaches every part of the core within the limits");
  add_seconds(figure, "last part reached after", gas["reached_last"]["residence_s"]);
  add_seconds(figure, "limit", gas["reached_last"]["limit_s"]);
  return figure;
}

double open_area(const Vent& vent) {
  return vent.diameter_mm * vent.diameter_mm * vent.open_fraction * (1 - vent.plugged);
}

void block_widest(std::vector<Vent>& vents, std::size_t count) {
  std::vector<Vent*> widest;
  for (Vent& vent : vents) widest.push_back(&vent);
  std::stable_sort(widest.begin(), widest.end(),
                   [](const Vent* a, const Vent* b) { return open_area(*a) > open_area(*b); });
  for (std::size_t i = 0; i < std::min(count, widest.size()); ++i) widest[i]->plugged = 1;
}

std::string counted_state(int blocked) {
  if (blocked == 0) return "vents as found";
  if (blocked == 1) return "1 vent blocked, taken as the widest";
  return std::to_string(blocked) + " vents blocked, taken as the widest";
}

}  // namespace

std::vector<Computed> study_figures(const json& study, Process process) {
  std::vector<Computed> figures;
  if (const auto figure = filling(study["blow"], "vents as found")) figures.push_back(*figure);
  if (!cures_by_gas(process)) return figures;
  if (const auto figure = gassing(study["gas"])) figures.push_back(*figure);
  return figures;
}

std::optional<Computed> counted_vents_figure(AirInputs air, int blocked, std::int64_t inspection,
                                             const StoredFiles& files) {
  block_widest(air.box.vents, static_cast<std::size_t>(blocked));
  StepReading step;
  step.processor_s = most_step_s;
  const DesignFile design = design_on_record(air.registered, air.box, files, step);
  auto figure = filling(blow_of_box(design.mesh_mm, air.box), counted_state(blocked));
  if (figure) figure->from_entry = inspection;
  return figure;
}

std::optional<LastResult> counted_vents(const BoxState& state) {
  const auto found = state.results.find("vents");
  if (found == state.results.end() || found->second.entry != state.inspected_entry) return std::nullopt;
  if (!found->second.result.measured) return std::nullopt;
  return found->second;
}

}  // namespace boxfettle
