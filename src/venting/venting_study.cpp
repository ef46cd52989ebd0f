#include "venting/venting_study.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "input/input_error.hpp"
#include "venting/purging.hpp"
#include "venting/reached_last.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;

constexpr double hourly_min = 60;  // between cleanings of vents: common practice
constexpr std::size_t places_solved = 5;

std::string percent(double share) {
  char text[40];
  std::snprintf(text, sizeof text, 100 * share < 9.95 ? "%.2g %%" : "%.0f %%", 100 * share);
  return text;
}

std::string seconds(double s) {
  char text[40];
  std::snprintf(text, sizeof text, "%.3g s", s);
  return text;
}

std::string millimetres(double mm) {
  char text[40];
  std::snprintf(text, sizeof text, "%.3g mm", mm);
  return text;
}

// The side the inlets are on is up: sand falls away from them.
Vector3d upward(const CoreBox& box, const CutCells& cavity) {
  Vector3d middle = Vector3d::Zero();
  double all = 0;
  for (std::uint32_t c = 0; c < cavity.volume.size(); ++c) {
    if (cavity.volume[c] == 0) continue;
    middle += static_cast<double>(cavity.volume[c]) * cavity.lattice.centre_mm(cavity.grid.place(c));
    all += static_cast<double>(cavity.volume[c]);
  }
  double side = 0;
  for (const BlowInlet& inlet : box.blow_inlets)
    side += box.parting.normal.dot(inlet.at_design_mm - middle / all);
  return side < 0 ? Vector3d(-box.parting.normal) : box.parting.normal;
}

class Study {
 public:
  Study(const TriangleMesh& design, const CoreBox& box, const VentingSettings& settings)
      : design_(design), box_(box), settings_(settings) {}

  VentingStudy run() {
    study_.lines = settings_.lines;
    const double voxel = settings_.voxel_mm.value_or(automatic_voxel_mm(design_));
    tell(0, "cutting the cavity into cells");
    const VentingBox fine(design_, box_, settings_, voxel);
    check_a_way_out(fine);
    study_.notes = fine.notes();
    add_notes(voxel);
    tell(0.1, "gas through the clean box");
    study_.worst_age_designed_s = worst_age_as_designed(fine);
    tell(0.25, "gas through the box as found");
    GasFlow found = fine.flow(VentingBox::State::as_found, flow_settings());
    measure(fine, found);
    if (!box_.vents.empty()) ask_coarsely(voxel);
    conclude();
    return std::move(study_);
  }

 private:
  static constexpr std::string_view plugging_step = "how far each vent may plug";

  void tell(double share, std::string_view step) const {
    if (settings_.progress && !settings_.progress(share, step)) throw VentingCancelled{};
  }

  FlowSettings flow_settings(double tolerance = 1e-5) const {
    FlowSettings flow;
    flow.inertia = settings_.inertia;
    flow.tolerance = tolerance;
    return flow;
  }

  void add_notes(double voxel) {
    if (!box_.sand.permeability_number)
      study_.notes.push_back(
          "Permeability was worked out from grain fineness and density; a measured standard permeability "
          "number tells more.");
    study_.notes.push_back(
        assumed_openings(settings_.vent_discharge, settings_.land_mm, !!settings_.opening_mm));
    if (!settings_.inertia)
      study_.notes.push_back(
          "The inertia of the gas was left out (Darcy alone): the sand lets less through than said here.");
    const double thickness_mm =
        2 * std::abs(enclosed_volume_mm3(design_)) / std::max(area_mm2(design_), 1e-300);
    if (2 * voxel > thickness_mm)
      study_.notes.push_back("Fewer than two voxels lie across the core's mean thickness of " +
                             millimetres(thickness_mm) + ": a smaller voxel tells more.");
  }

  void check_a_way_out(const VentingBox& fine) const {
    if (!fine.open_cells().empty()) return;
    throw InputError("box", "vent", "every vent is plugged and the box is shut: gas has no way out",
                     "clean the vents, or correct 'plugged'");
  }

  // How the box answers to plugging and to one more vent is found on larger voxels, from ratios to the same
  // voxels' own state.
  void ask_coarsely(double voxel) {
    study_.coarse_voxel_mm = std::max(1.6 * voxel, std::cbrt(std::abs(enclosed_volume_mm3(design_)) / 40000));
    const VentingBox coarse(design_, box_, settings_, study_.coarse_voxel_mm);
    tell(0.5, plugging_step);
    const PlugResponses responses =
        plug_responses(coarse, box_.vents, box_.air.gas_seconds, settings_.lines,
                       study_.limit_s / study_.worst_age_designed_s, flow_settings(1e-3),
                       [&](double share) { tell(0.5 + 0.35 * share, plugging_step); });
    add_responses(responses);
    set_cleaning();
    try_places(coarse, responses.found.worst_age_s);
  }

  double worst_age_as_designed(const VentingBox& fine) const {
    if (box_.vents.empty()) return 0;
    GasFlow designed = fine.flow(VentingBox::State::as_designed, flow_settings());
    return gas_standing(designed, fine, box_.air.gas_seconds, settings_.lines).worst_age_s;
  }

  void measure(const VentingBox& fine, GasFlow& flow) {
    const FlowReport report = flow.solve();
    converged_ = report.converged;
    tell(0.35, "how long gas is on its way");
    const Residence ages = residence(flow);
    const std::vector<double> weight = age_band(flow, ages, 1 - settings_.lines.worst_share.value, 1);
    study_.mass_flow_kg_s = flow.total_flow();
    study_.balance_error = report.balance_error;
    study_.inertia_share = flow.inertia_share();
    study_.voxel_mm = fine.cavity().lattice.voxel_mm;
    study_.voxels = flow.cells().size();
    study_.permeability_m2 = fine.sand().permeability_m2;
    study_.leak_kg_s = flow.leak_flow();
    study_.leak_share = flow.leak_flow() / flow.total_flow();
    study_.residence_s = {age_quantile_s(flow, ages, 0.5), age_quantile_s(flow, ages, 0.95),
                          age_quantile_s(flow, ages, 1)};
    study_.worst_age_s = mean_age_s(weight, ages);
    study_.limit_s =
        std::min(box_.air.gas_seconds, settings_.lines.slower_at_most.value * study_.worst_age_designed_s);
    study_.unpurged_fraction = unpurged_fraction(flow, ages, box_.air.gas_seconds, fine.state().outlet_pa);
    study_.worst_at_mm = worst_place(flow, ages);
    tell(0.4, "which vent matters to the worst place");
    const GasFlow::Response response = flow.response(age_gradient(flow, ages, by_age(weight, ages)));
    if (!response.converged)
      study_.notes.push_back("The sensitivities did not settle; take their order, not their size.");
    add_vents(flow, response);
    add_pockets(fine);
    if (settings_.picture_cells > 0)
      study_.picture =
          cavity_picture(flow, ages, study_.pockets, upward(box_, fine.cavity()), settings_.picture_cells);
    study_.places = ranked_places(fine, flow, response,
                                  {.apart_mm = std::max(mean_vent_diameter_mm(), 2 * study_.voxel_mm)});
  }

  static Vector3d worst_place(const GasFlow& flow, const Residence& ages) {
    const CutCells& cavity = flow.cavity();
    const auto worst =
        std::max_element(flow.cells().begin(), flow.cells().end(), [&](std::uint32_t a, std::uint32_t b) {
          // Slivers at the wall are no place to point at.
          const auto age = [&](std::uint32_t c) { return cavity.volume[c] > 0.3f ? ages.age_s[c] : 0.0; };
          return age(a) < age(b);
        });
    return cavity.lattice.centre_mm(cavity.grid.place(*worst));
  }

  void add_vents(const GasFlow& flow, const GasFlow::Response& response) {
    for (std::size_t v = 0; v < box_.vents.size(); ++v) {
      VentStanding standing;
      standing.id = box_.vents[v].id;
      standing.at_mm = box_.vents[v].at_design_mm;
      standing.diameter_mm = box_.vents[v].diameter_mm;
      standing.mass_flow_kg_s = flow.vent_flow(v);
      standing.share = flow.vent_flow(v) / flow.total_flow();
      standing.sensitivity = -response.by_log_orifice[v];
      standing.plugged = box_.vents[v].plugged;
      study_.vents.push_back(std::move(standing));
    }
  }

  void add_pockets(const VentingBox& fine) {
    const Vector3d up = upward(box_, fine.cavity());
    study_.pockets = air_pockets(fine.cavity(), fine.open_cells(), up);
    std::vector<double> heights;
    for (const Vent& vent : box_.vents) heights.push_back(up.dot(vent.at_design_mm));
    const std::vector<double> drowned = fill_shares(fine.cavity(), up, heights);
    for (std::size_t v = 0; v < study_.vents.size(); ++v) study_.vents[v].drowns_at_fill = drowned[v];
  }

  double mean_vent_diameter_mm() const {
    double sum = 0;
    for (const Vent& vent : box_.vents) sum += vent.diameter_mm;
    return box_.vents.empty() ? 8 : sum / static_cast<double>(box_.vents.size());
  }

  // From the coarser voxels to the study's own: what is found there as found, and here, stands for one
  // another.
  GasStanding scaled(const GasStanding& coarse, const GasStanding& coarse_found) const {
    const auto as_here = [](double there, double there_found, double here_found, double otherwise) {
      return there * (there_found > 0 ? here_found / there_found : otherwise);
    };
    double coarse_total = coarse_found.leak_kg_s;
    for (const double flow : coarse_found.vent_kg_s) coarse_total += flow;
    const double whole = study_.mass_flow_kg_s / coarse_total;
    GasStanding here;
    for (std::size_t v = 0; v < study_.vents.size(); ++v)
      here.vent_kg_s.push_back(
          as_here(coarse.vent_kg_s[v], coarse_found.vent_kg_s[v], study_.vents[v].mass_flow_kg_s, whole));
    here.leak_kg_s = as_here(coarse.leak_kg_s, coarse_found.leak_kg_s, study_.leak_kg_s, whole);
    here.p50_s = as_here(coarse.p50_s, coarse_found.p50_s, study_.residence_s.p50, 1);
    here.p95_s = as_here(coarse.p95_s, coarse_found.p95_s, study_.residence_s.p95, 1);
    here.worst_age_s = as_here(coarse.worst_age_s, coarse_found.worst_age_s, study_.worst_age_s, 1);
    // A share of nothing scales to nothing: the difference is what carries over.
    here.unpurged_fraction = std::clamp(
        study_.unpurged_fraction + coarse.unpurged_fraction - coarse_found.unpurged_fraction, 0.0, 1.0);
    return here;
  }

  void add_responses(const PlugResponses& responses) {
    for (std::size_t v = 0; v < study_.vents.size(); ++v) {
      study_.vents[v].plug_limit = responses.limit[v];
      for (const PlugStep& step : responses.steps[v])
        study_.vents[v].when_plugged.push_back({step.plugged, scaled(step.standing, responses.found)});
    }
  }

  void set_cleaning() {
    for (VentStanding& vent : study_.vents) {
      const auto rate = settings_.plugging ? settings_.plugging(vent.id) : std::nullopt;
      if (!rate || !(rate->per_hour > 0)) {
        vent.clean_every_min = hourly_min;
        vent.cleaning_origin = "common practice: hourly, no plugging rate is known";
        continue;
      }
      vent.clean_every_min = 60 * vent.plug_limit / rate->per_hour;
      vent.clean_within_min = 60 * std::max(vent.plug_limit - vent.plugged, 0.0) / rate->per_hour;
      vent.cleaning_origin = "plugs by " + percent(rate->per_hour) + " an hour (" + rate->origin + ")";
    }
  }

  void try_places(const VentingBox& coarse, double worst_age_found_s) {
    const double diameter = mean_vent_diameter_mm();
    double orifice = 0;
    for (std::size_t v = 0; v < box_.vents.size(); ++v)
      orifice += coarse.orifice_m2(v, 0) / static_cast<double>(box_.vents.size());
    const std::vector<std::size_t> worth = leaders(study_.places, 3 * diameter, places_solved);
    for (std::size_t i = 0; i < worth.size(); ++i) {
      tell(0.85 + 0.15 * static_cast<double>(i) / static_cast<double>(worth.size()),
           "where one more vent would help");
      VentPlace& place = study_.places[worth[i]];
      const WallDisc disc = coarse.disc_at(place.where_mm, diameter);
      VentPath more{"new", wall_patch(coarse.cavity(), disc), std::numbers::pi / 4 * diameter * diameter,
                    orifice};
      if (more.cells.empty()) continue;
      GasFlow flow = coarse.flow_with(std::move(more), flow_settings(1e-3));
      place.saves_share = 1 - gas_standing(flow, coarse, box_.air.gas_seconds, settings_.lines).worst_age_s /
                                  worst_age_found_s;
    }
  }

  void conclude() {
    const auto because = [&](VentingVerdict verdict, const std::string& reason) {
      study_.reasons.push_back(reason);
      if (study_.verdict != VentingVerdict::hold) study_.verdict = verdict;
    };
    const VentingLines& lines = settings_.lines;
    study_.verdict = VentingVerdict::fit;
    if (study_.worst_age_s > study_.limit_s)
      because(VentingVerdict::hold, "the " + percent(lines.worst_share.value) +
                                        " of the core reached last waits " + seconds(study_.worst_age_s) +
                                        ", more than its limit of " + seconds(study_.limit_s));
    if (study_.unpurged_fraction > lines.unpurged_at_most.value)
      because(VentingVerdict::hold, percent(study_.unpurged_fraction) +
                                        " of the pore space still holds its first air when gassing ends");
    for (const VentStanding& vent : study_.vents)
      if (vent.plug_limit < 1 && vent.plugged > lines.plugged_of_limit.value * vent.plug_limit)
        because(VentingVerdict::watch, "vent " + vent.id + " is plugged by " + percent(vent.plugged) +
                                           "; its limit is " + percent(vent.plug_limit));
    if (study_.leak_share > lines.leak_at_most.value)
      because(VentingVerdict::watch,
              percent(study_.leak_share) + " of the gas leaves through the parting face");
    if (!converged_) {
      study_.verdict = VentingVerdict::cannot_tell;
      study_.reasons.insert(study_.reasons.begin(), "the flow did not settle");
    }
  }

  const TriangleMesh& design_;
  const CoreBox& box_;
  const VentingSettings& settings_;
  VentingStudy study_;
  bool converged_ = false;
};

}  // namespace

std::string_view name(VentingVerdict verdict) {
  switch (verdict) {
    case VentingVerdict::fit:
      return "fit";
    case VentingVerdict::watch:
      return "watch";
    case VentingVerdict::hold:
      return "hold";
    case VentingVerdict::cannot_tell:
      break;
  }
  return "cannot-tell";
}

VentingStudy study_venting(const TriangleMesh& design, const CoreBox& box, const VentingSettings& settings) {
  return Study(design, box, settings).run();
}

}  // namespace boxfettle
