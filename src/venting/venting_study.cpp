#include "venting/venting_study.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numeric>

#include "input/input_error.hpp"
#include "venting/residence.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;

constexpr double worst_share = 0.05;    // of the pore space
constexpr double hourly_min = 60;       // between cleanings of vents: common practice
constexpr double hold_unpurged = 0.02;  // of the pore space: our own line, not a published one
constexpr int places_tried = 3;

std::string percent(double share) {
  char text[40];
  std::snprintf(text, sizeof text, share < 0.1 ? "%.1f %%" : "%.0f %%", 100 * share);
  return text;
}

std::string seconds(double s) {
  char text[40];
  std::snprintf(text, sizeof text, "%.3g s", s);
  return text;
}

// The twentieth reached last: weights that average over it.
std::vector<double> worst_weights(const GasFlow& flow, const Residence& ages) {
  const double late = age_quantile_s(flow, ages, 1 - worst_share);
  std::vector<double> weight(ages.age_s.size(), 0.0);
  double all = 0;
  for (const std::uint32_t c : flow.cells())
    if (ages.age_s[c] >= late) all += weight[c] = flow.pore_mm3(c);
  for (double& w : weight) w /= std::max(all, 1e-300);
  return weight;
}

// The geometric mean: a few cells in a dead corner, where only diffusion would stir, cannot outweigh the
// rest.
double mean_age(const std::vector<double>& weight, const Residence& ages) {
  double sum = 0;
  for (std::size_t c = 0; c < weight.size(); ++c)
    if (weight[c] > 0) sum += weight[c] * std::log(std::max(ages.age_s[c], 1e-12));
  return std::exp(sum);
}

// How the logarithm of that mean goes with each age.
std::vector<double> by_age(std::vector<double> weight, const Residence& ages) {
  for (std::size_t c = 0; c < weight.size(); ++c)
    if (weight[c] > 0) weight[c] /= std::max(ages.age_s[c], 1e-12);
  return weight;
}

double worst_age(GasFlow& flow) {
  flow.solve();
  const Residence ages = residence(flow);
  return mean_age(worst_weights(flow, ages), ages);
}

// First air that is neither passed by nor squeezed out within the gassing time.
double unpurged_fraction(const GasFlow& flow, const Residence& ages, double seconds, double outlet_pa) {
  double left = 0, all = 0;
  for (const std::uint32_t c : flow.cells()) {
    const double pore = flow.pore_mm3(c);
    all += pore;
    if (ages.age_s[c] > seconds) left += pore * (1 - swept_share_of_dead_end(outlet_pa, flow.pressure_pa(c)));
  }
  return left / all;
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
    const double voxel = settings_.voxel_mm.value_or(automatic_voxel_mm(design_));
    tell(0, "cutting the cavity into cells");
    const VentingBox fine(design_, box_, settings_, voxel);
    check_a_way_out(fine);
    study_.notes = fine.notes();
    tell(0.1, "gas through the clean box");
    GasFlow designed = fine.flow(VentingBox::State::as_designed, flow_settings());
    study_.worst_age_designed_s = box_.vents.empty() ? 0 : worst_age(designed);
    tell(0.25, "gas through the box as found");
    GasFlow found = fine.flow(VentingBox::State::as_found, flow_settings());
    measure(fine, found);
    tell(0.6, "how far each vent may plug");
    // Limits and better places are found on larger voxels, from ratios to the same voxels' own clean state.
    const double rough_voxel =
        std::max(1.6 * voxel, std::cbrt(std::abs(enclosed_volume_mm3(design_)) / 40000));
    VentingSettings rough = settings_;
    rough.progress = {};
    coarse_.emplace(design_, box_, rough, rough_voxel);
    find_plug_limits(*coarse_);
    tell(0.9, "where one more vent would help");
    try_places(*coarse_);
    conclude();
    return std::move(study_);
  }

 private:
  void tell(double share, std::string_view step) const {
    if (settings_.progress) settings_.progress(share, step);
  }

  FlowSettings flow_settings(double tolerance = 1e-5) const {
    FlowSettings flow;
    flow.inertia = settings_.inertia;
    flow.tolerance = tolerance;
    return flow;
  }

  void check_a_way_out(const VentingBox& fine) const {
    if (!fine.open_cells().empty()) return;
    throw InputError("box", "vent", "every vent is plugged and the box is shut: gas has no way out",
                     "clean the vents, or correct 'plugged'");
  }

  void measure(const VentingBox& fine, GasFlow& flow) {
    const FlowReport report = flow.solve();
    converged_ = report.converged;
    const Residence ages = residence(flow);
    const std::vector<double> weight = worst_weights(flow, ages);
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
    study_.worst_age_s = mean_age(weight, ages);
    study_.limit_s = std::min(box_.air.gas_seconds, settings_.slower_at_most * study_.worst_age_designed_s);
    study_.unpurged_fraction = unpurged_fraction(flow, ages, box_.air.gas_seconds, fine.state().outlet_pa);
    study_.worst_at_mm = worst_place(flow, ages);
    const GasFlow::Response response = flow.response(age_gradient(flow, ages, by_age(weight, ages)));
    if (!response.converged)
      study_.notes.push_back("The sensitivities did not settle; take their order, not their size.");
    add_vents(flow, response);
    add_pockets(fine);
    rank_places(fine, flow, response);
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

  // Wall cells by what a small outlet there would save, far enough apart to be different places.
  void rank_places(const VentingBox& fine, const GasFlow& flow, const GasFlow::Response& response) {
    const CutCells& cavity = fine.cavity();
    std::vector<std::uint32_t> wall;
    for (const std::uint32_t c : flow.cells()) {
      bool open = true;
      for (const StripGrid::Face& face : cavity.grid.faces(c))
        open = open && cavity.aperture[static_cast<std::size_t>(face.axis)][face.holder] > 0;
      if (!open && response.by_new_outlet[c] < 0) wall.push_back(c);
    }
    std::sort(wall.begin(), wall.end(), [&](std::uint32_t a, std::uint32_t b) {
      return response.by_new_outlet[a] < response.by_new_outlet[b];
    });
    const double apart = 4 * mean_vent_diameter_mm();
    for (const std::uint32_t c : wall) {
      const Vector3d at = cavity.lattice.centre_mm(cavity.grid.place(c));
      const bool near = std::any_of(candidates_.begin(), candidates_.end(),
                                    [&](const Vector3d& other) { return (at - other).norm() < apart; });
      if (!near) candidates_.push_back(at);
      if (candidates_.size() == places_tried) return;
    }
  }

  void find_plug_limits(const VentingBox& coarse) {
    if (box_.vents.empty()) return;
    GasFlow designed = coarse.flow(VentingBox::State::as_designed, flow_settings(1e-3));
    const double limit = study_.limit_s * worst_age(designed) / study_.worst_age_designed_s;
    GasFlow flow = coarse.flow(VentingBox::State::as_found, flow_settings(1e-3));
    coarse_found_s_ = worst_age(flow);
    for (std::size_t v = 0; v < study_.vents.size(); ++v) {
      const auto age_at = [&](double plugged) {
        flow.set_orifice(v, coarse.orifice_m2(v, plugged));
        return worst_age(flow);
      };
      study_.vents[v].plug_limit = plug_limit(age_at, limit);
      flow.set_orifice(v, coarse.orifice_m2(v, box_.vents[v].plugged));
      tell(0.6 + 0.3 * static_cast<double>(v + 1) / static_cast<double>(study_.vents.size()),
           "how far each vent may plug");
    }
    for (VentStanding& vent : study_.vents) {
      study_.cleaning_by_practice = !settings_.plugged_per_hour;
      vent.clean_every_min = settings_.plugged_per_hour
                                 ? 60 * vent.plug_limit / std::max(*settings_.plugged_per_hour, 1e-9)
                                 : hourly_min;
    }
  }

  // Most of the lateness comes with the last of the opening: halve the distance to shut, then narrow down.
  template <typename Age>
  static double plug_limit(const Age& age_at, double limit_s) {
    constexpr double nearly_shut = 0.98;  // a vent is never plugged to the last grain
    if (age_at(nearly_shut) <= limit_s) return 1;
    if (age_at(0) > limit_s) return 0;
    double low = 0, high = nearly_shut;
    for (int i = 0; i < 6; ++i) {
      const double middle = 0.5 * (low + high);
      (age_at(middle) <= limit_s ? low : high) = middle;
    }
    return low;
  }

  void try_places(const VentingBox& coarse) {
    if (box_.vents.empty()) return;
    const double diameter = mean_vent_diameter_mm();
    double orifice = 0;
    for (std::size_t v = 0; v < box_.vents.size(); ++v)
      orifice += coarse.orifice_m2(v, 0) / static_cast<double>(box_.vents.size());
    for (const Vector3d& at : candidates_) {
      const WallDisc disc = coarse.disc_at(at, diameter);
      VentPath more{"new", wall_patch(coarse.cavity(), disc), 0.785398 * diameter * diameter, orifice};
      if (more.cells.empty()) continue;
      GasFlow flow = coarse.flow_with(std::move(more), flow_settings(1e-3));
      const double saves = 1 - worst_age(flow) / coarse_found_s_;
      if (saves > 0) study_.better_places.push_back({disc.at_mm, saves});
    }
    std::stable_sort(
        study_.better_places.begin(), study_.better_places.end(),
        [](const BetterPlace& a, const BetterPlace& b) { return a.saves_share > b.saves_share; });
  }

  void conclude() {
    const auto because = [&](VentingVerdict verdict, const std::string& reason) {
      study_.reasons.push_back(reason);
      if (study_.verdict != VentingVerdict::hold) study_.verdict = verdict;
    };
    study_.verdict = VentingVerdict::fit;
    if (study_.worst_age_s > study_.limit_s)
      because(VentingVerdict::hold, "the twentieth of the core reached last waits " +
                                        seconds(study_.worst_age_s) + ", more than its limit of " +
                                        seconds(study_.limit_s));
    if (study_.unpurged_fraction > hold_unpurged)
      because(VentingVerdict::hold, percent(study_.unpurged_fraction) +
                                        " of the pore space still holds its first air when gassing ends");
    for (const VentStanding& vent : study_.vents)
      if (vent.plug_limit < 1 && vent.plugged > 0.8 * vent.plug_limit)
        because(VentingVerdict::watch, "vent " + vent.id + " is plugged by " + percent(vent.plugged) +
                                           "; its limit is " + percent(vent.plug_limit));
    if (study_.leak_share > 0.1)
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
  std::optional<VentingBox> coarse_;
  double coarse_found_s_ = 1;
  std::vector<Vector3d> candidates_;
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

double swept_share_of_dead_end(double before_pa, double after_pa) {
  return after_pa > before_pa ? 1 - before_pa / after_pa : 0;
}

VentingStudy study_venting(const TriangleMesh& design, const CoreBox& box, const VentingSettings& settings) {
  return Study(design, box, settings).run();
}

}  // namespace boxfettle
