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

constexpr double most_blow_bar = 10;      // gauge, that is tried to bring the design back
constexpr double most_vent_factor = 100;  // times the open area as found, likewise

double disc_m2(double diameter_mm) {
  return std::numbers::pi / 4 * diameter_mm * diameter_mm * 1e-6;
}

std::string printed_number(const char* form, double a, double b = 0, double c = 0) {
  char text[160];
  std::snprintf(text, sizeof text, form, a, b, c);
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

struct Faults {
  bool plugged_vents, open_gap;
};

BlowCase case_of(const TriangleMesh& design, const CoreBox& box, const BlowSettings& settings,
                 Faults faults) {
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
                                            (faults.plugged_vents ? 1 - vent.plugged : 1) *
                                            settings.vent_discharge});
  if (faults.open_gap) blow_case.gap = slits(design, box, settings);
  return blow_case;
}

void check(const TriangleMesh& design, const CoreBox& box, const BlowSettings& settings) {
  const MeshTopology topology = mesh_topology(design);
  if (!topology.closed() || !topology.consistent() || !(enclosed_volume_mm3(design) > 0))
    throw InputError("design", topology.closed() ? "" : std::to_string(topology.open_edges) + " open edges",
                     "the surface does not close about a volume, which the cavity would have",
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
  study.restoring_blow_bar = where_it_fills_in(wanted, 0.01, most_blow_bar, [&](double bar) {
    BlowCase stronger = found;
    stronger.magazine_pa = standard_atmosphere_pa + bar * 1e5;
    stronger.longest_s = 4 * wanted;
    return time_of(stronger);
  });
  study.restoring_vent_factor = where_it_fills_in(wanted, 1, most_vent_factor, [&](double factor) {
    BlowCase wider = found;
    for (BlowPath& vent : wider.vents) vent.effective_m2 *= factor;
    wider.longest_s = 4 * wanted;
    return time_of(wider);
  });
  if (!study.restoring_blow_bar)
    study.notes.push_back(
        printed_number("No blow pressure up to %.0f bar fills the box as fast as designed.", most_blow_bar));
  if (!study.restoring_vent_factor)
    study.notes.push_back(printed_number(
        "Not even %.0f times the vents' open area fills the box as fast as designed.", most_vent_factor));
}

void add_paths(BlowStudy& study, const BlowCase& found) {
  double all = study.found.gap_kg;
  for (const double kg : study.found.vent_kg) all += kg;
  const auto path = [&](const std::string& id, double kg) {
    return PathStanding{id, all > 0 ? kg / all : 0, kg / study.found.fill_time_s};
  };
  for (std::size_t v = 0; v < found.vents.size(); ++v)
    study.paths.push_back(path(found.vents[v].id, study.found.vent_kg[v]));
  for (const Slit& slit : found.gap) study.gap_m2 += slit.width_m * slit.height_m;
  if (found.gap.empty()) return;
  study.paths.push_back(path("parting gap", study.found.gap_kg));
  study.gap_share = study.paths.back().share;
}

void conclude(BlowStudy& study) {
  const auto because = [&](VentingVerdict verdict, const std::string& reason) {
    study.reasons.push_back(reason);
    if (study.verdict != VentingVerdict::hold) study.verdict = verdict;
  };
  const VentingLines& lines = study.lines;
  study.verdict = VentingVerdict::fit;
  if (!study.found.fills) {
    because(VentingVerdict::hold, printed_number("the box does not fill: %.0f %% after %.0f s, when the air "
                                                 "shut in holds the sand back",
                                                 100 * study.found.filled_share, study.found.fill_time_s));
  } else if (study.designed.fills) {
    const double slower = study.found.fill_time_s / study.designed.fill_time_s;
    const std::string reason =
        printed_number("it fills %.0f %% slower than designed (watched beyond %.3g %%, held beyond %.3g %%)",
                       100 * (slower - 1), 100 * (lines.watch_fill_slower.value - 1),
                       100 * (lines.hold_fill_slower.value - 1));
    if (slower > lines.hold_fill_slower.value)
      because(VentingVerdict::hold, reason);
    else if (slower > lines.watch_fill_slower.value)
      because(VentingVerdict::watch, reason);
  }
  if (study.gap_share > lines.leak_at_most.value)
    because(VentingVerdict::watch,
            printed_number("%.0f %% of the air leaves through the parting face (limit %.3g %%)",
                           100 * study.gap_share, 100 * lines.leak_at_most.value));
}

}  // namespace

BlowStudy study_blowing(const TriangleMesh& design, const CoreBox& box, const BlowSettings& settings) {
  check(design, box, settings);
  BlowStudy study;
  study.lines = settings.lines;
  const auto as = [&](Faults faults) { return case_of(design, box, settings, faults); };
  const BlowCase found = as({.plugged_vents = true, .open_gap = true});
  study.designed = blow(as({}));
  study.found = blow(found);
  if (std::any_of(box.vents.begin(), box.vents.end(), [](const Vent& vent) { return vent.plugged > 0; }))
    study.with_clean_vents = blow(as({.plugged_vents = false, .open_gap = true}));
  if (!found.gap.empty()) study.with_shut_halves = blow(as({.plugged_vents = true, .open_gap = false}));
  BlowCase hot = found;
  hot.adiabatic = true;
  study.found_adiabatic = blow(hot);
  add_paths(study, found);
  double open_m2 = 0;
  for (const BlowPath& vent : found.vents) open_m2 += vent.effective_m2 / settings.vent_discharge;
  study.vent_to_blow_area_ratio = open_m2 / found.tube_m2;
  study.notes.push_back(assumed_openings(settings.vent_discharge, settings.land_mm, !!settings.opening_mm));
  study.notes.push_back(printed_number(
      "Assumed: a discharge of %.2f for the sand's stream through the blow tubes.", settings.sand_discharge));
  find_restoring(study, found);
  conclude(study);
  return study;
}

}  // namespace boxfettle
