#include "venting/blow_study.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <numbers>

#include "geometry/mesh_topology.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

double disc_m2(double diameter_mm) {
  return std::numbers::pi / 4 * diameter_mm * diameter_mm * 1e-6;
}

std::string printed_number(const char* form, double a, double b) {
  char text[160];
  std::snprintf(text, sizeof text, form, a, b);
  return text;
}

// The outline's pieces by opening, in steps of a hundredth of a millimetre: a few dozen slits instead of
// thousands.
std::vector<Slit> slits(const TriangleMesh& design, const CoreBox& box, const BlowSettings& settings) {
  std::vector<Slit> gap;
  if (!settings.opening_mm) return gap;
  std::map<long, double> length_mm;
  for (const OutlinePiece& piece : parting_outline(design, box.parting)) {
    const double opening = settings.opening_mm(box.parting.at_parting_mm(piece.at_design_mm));
    if (opening > 0.005) length_mm[std::lround(opening * 100)] += piece.length_mm;
  }
  for (const auto& [hundredths, length] : length_mm)
    gap.push_back(
        {length * 1e-3, std::max(static_cast<double>(hundredths), 0.5) * 1e-5, settings.land_mm * 1e-3});
  return gap;
}

BlowCase case_of(const TriangleMesh& design, const CoreBox& box, const BlowSettings& settings, bool found) {
  BlowCase blow_case{.magazine_m3 = box.air.magazine_litre * 1e-3,
                     .magazine_pa = standard_atmosphere_pa + box.air.blow_bar * 1e5,
                     .tube_m2 = 0,
                     .cavity_m3 = enclosed_volume_mm3(design) * 1e-9,
                     .porosity = porosity_of(box.sand.bulk_density_g_cm3),
                     .bulk_kg_m3 = box.sand.bulk_density_g_cm3 * 1e3,
                     .vents = {},
                     .gap = {},
                     .sand_discharge = settings.sand_discharge};
  for (const BlowInlet& inlet : box.blow_inlets) blow_case.tube_m2 += disc_m2(inlet.diameter_mm);
  for (const Vent& vent : box.vents)
    blow_case.vents.push_back({vent.id, disc_m2(vent.diameter_mm) * vent.open_fraction *
                                            (found ? 1 - vent.plugged : 1) * settings.vent_discharge});
  if (found) blow_case.gap = slits(design, box, settings);
  return blow_case;
}

void check(const TriangleMesh& design, const CoreBox& box, const BlowSettings& settings) {
  const MeshTopology topology = mesh_topology(design);
  if (!topology.closed() || !topology.consistent() || !(enclosed_volume_mm3(design) > 0))
    throw InputError("design", std::to_string(topology.open_edges) + " open edges",
                     "the surface does not close: the cavity has no volume",
                     "export the core's design as one closed solid");
  if (box.blow_inlets.empty())
    throw InputError("box", "blow", "there is no blow inlet: sand has no way in",
                     "add a [[blow]] table for each");
  if (box.vents.empty() && !settings.opening_mm)
    throw InputError("box", "vent", "there is no vent: air has no way out", "add a [[vent]] table for each");
}

// The setting, between low and high, at which the box fills in the time wanted; absent when it cannot.
template <typename FillTime>
std::optional<double> where_it_fills_in(double wanted_s, double low, double high, const FillTime& fill_time) {
  if (fill_time(high) > wanted_s || fill_time(low) < wanted_s) return std::nullopt;
  for (int i = 0; i < 30; ++i) {
    const double middle = 0.5 * (low + high);
    (fill_time(middle) > wanted_s ? low : high) = middle;
  }
  return high;
}

double time_of(BlowCase blow_case) {
  blow_case.tolerance = 1e-5;
  const BlowRun run = blow(blow_case);
  return run.fills ? run.fill_time_s : 1e300;
}

void find_restoring(BlowStudy& study, const BlowCase& found) {
  if (!study.designed.fills) return;
  const double wanted = study.designed.fill_time_s;
  if (study.found.fills && study.found.fill_time_s <= wanted * 1.001) return;
  study.restoring_blow_bar = where_it_fills_in(wanted, 0.01, 10, [&](double bar) {
    BlowCase stronger = found;
    stronger.magazine_pa = standard_atmosphere_pa + bar * 1e5;
    stronger.longest_s = 4 * wanted;
    return time_of(stronger);
  });
  study.restoring_vent_factor = where_it_fills_in(wanted, 1, 100, [&](double factor) {
    BlowCase wider = found;
    for (BlowPath& vent : wider.vents) vent.effective_m2 *= factor;
    wider.longest_s = 4 * wanted;
    return time_of(wider);
  });
}

void conclude(BlowStudy& study, const BlowSettings& settings) {
  const auto because = [&](VentingVerdict verdict, const std::string& reason) {
    study.reasons.push_back(reason);
    if (study.verdict != VentingVerdict::hold) study.verdict = verdict;
  };
  study.verdict = VentingVerdict::fit;
  if (!study.found.fills) {
    because(VentingVerdict::hold, printed_number("the box does not fill: %.0f %% after %.0f s, when the air "
                                                 "shut in holds the sand back",
                                                 100 * study.found.filled_share, study.found.fill_time_s));
  } else if (study.designed.fills) {
    const double slower = study.found.fill_time_s / study.designed.fill_time_s;
    const std::string reason = printed_number("it fills %.0f %% slower than designed (limit %.0f %%)",
                                              100 * (slower - 1), 100 * (settings.hold_slower - 1));
    if (slower > settings.hold_slower)
      because(VentingVerdict::hold, reason);
    else if (slower > settings.watch_slower)
      because(VentingVerdict::watch, reason);
  }
  if (!study.paths.empty() && study.paths.back().id == "parting gap" && study.paths.back().share > 0.1)
    because(VentingVerdict::watch, printed_number("%.0f %% of the air leaves through the parting face%.0s",
                                                  100 * study.paths.back().share, 0));
}

}  // namespace

BlowStudy study_blowing(const TriangleMesh& design, const CoreBox& box, const BlowSettings& settings) {
  check(design, box, settings);
  BlowStudy study;
  BlowCase found = case_of(design, box, settings, true);
  study.designed = blow(case_of(design, box, settings, false));
  study.found = blow(found);
  BlowCase hot = found;
  hot.adiabatic = true;
  study.found_adiabatic = blow(hot);
  double all = study.found.gap_kg, open_m2 = 0;
  for (const double kg : study.found.vent_kg) all += kg;
  for (const Slit& slit : found.gap) study.gap_m2 += slit.width_m * slit.height_m;
  for (std::size_t v = 0; v < found.vents.size(); ++v) {
    open_m2 += found.vents[v].effective_m2 / settings.vent_discharge;
    const double kg = study.found.vent_kg[v];
    study.paths.push_back({found.vents[v].id, all > 0 ? kg / all : 0, kg / study.found.fill_time_s});
  }
  if (!found.gap.empty())
    study.paths.push_back({"parting gap", all > 0 ? study.found.gap_kg / all : 0,
                           study.found.gap_kg / study.found.fill_time_s});
  study.vent_to_blow_area_ratio = open_m2 / found.tube_m2;
  find_restoring(study, found);
  conclude(study, settings);
  return study;
}

}  // namespace boxfettle
