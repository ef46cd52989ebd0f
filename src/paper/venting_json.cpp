#include "paper/venting_json.hpp"

#include "paper/json_object.hpp"
#include "paper/venting_words.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;

constexpr double bar = 1e5;

double gauge_bar(double pressure_pa) {
  return (pressure_pa - standard_atmosphere_pa) / bar;
}

Json triple(const Eigen::Vector3d& v) {
  return {v.x(), v.y(), v.z()};
}

Json run_json(const BlowRun& run) {
  Json object;
  object["fill_time_s"] = run.fills ? Json(run.fill_time_s) : Json(nullptr);
  object["peak_cavity_bar"] = gauge_bar(run.peak_cavity_pa);
  object["choked"] = run.choked;
  return object;
}

Json vent_json(const VentStanding& vent) {
  Json object;
  object["id"] = vent.id;
  object["at_mm"] = triple(vent.at_mm);
  object["diameter_mm"] = vent.diameter_mm;
  object["mass_flow_kg_s"] = vent.mass_flow_kg_s;
  object["share"] = vent.share;
  object["sensitivity"] = vent.sensitivity;
  object["plugged"] = vent.plugged;
  object["plug_limit"] = vent.plug_limit;
  object["clean_every_min"] = vent.clean_every_min;
  object["clean_every_counts_from"] = "clean";
  put(object, "clean_within_min", vent.clean_within_min);
  object["clean_every_origin"] = vent.cleaning_origin;
  object["drowns_at_fill"] = vent.drowns_at_fill;
  object["when_plugged"] = Json::array();
  for (const PlugStep& step : vent.when_plugged)
    object["when_plugged"].push_back({{"plugged", step.plugged},
                                      {"vents_kg_s", step.standing.vent_kg_s},
                                      {"parting_gap_kg_s", step.standing.leak_kg_s},
                                      {"p50_s", step.standing.p50_s},
                                      {"p95_s", step.standing.p95_s},
                                      {"reached_last_s", step.standing.worst_age_s},
                                      {"unpurged_fraction", step.standing.unpurged_fraction}});
  return object;
}

Json places_json(const VentingStudy& study) {
  Json list = Json::array();
  for (const VentPlace& place : study.places) {
    Json object{{"rank", place.rank}, {"where_mm", triple(place.where_mm)}, {"relative", place.relative}};
    put(object, "saves_share", place.saves_share);
    list.push_back(std::move(object));
  }
  return list;
}

Json line_json(const VentingLine& line) {
  return {{"value", line.value}, {"origin", line.origin}};
}

Json blow_lines_json(const VentingLines& lines) {
  return {{"watch_fill_slower", line_json(lines.watch_fill_slower)},
          {"hold_fill_slower", line_json(lines.hold_fill_slower)},
          {"leak_at_most", line_json(lines.leak_at_most)}};
}

Json vents_lines_json(const VentingLines& lines) {
  return {{"reached_last_share", line_json(lines.worst_share)},
          {"slower_at_most", line_json(lines.slower_at_most)},
          {"unpurged_at_most", line_json(lines.unpurged_at_most)},
          {"plugged_of_limit", line_json(lines.plugged_of_limit)},
          {"leak_at_most", line_json(lines.leak_at_most)}};
}

}  // namespace

Json blow_json(const BlowStudy& study, const std::vector<InputFile>& inputs) {
  Json object = json_object(inputs);
  object.update(run_json(study.found));
  object["fills"] = study.found.fills;
  object["filled_share"] = study.found.filled_share;
  object["choked_share_of_time"] = study.found.choked_share;
  object["paths"] = Json::array();
  for (const PathStanding& path : study.paths)
    object["paths"].push_back(
        {{"id", path.id}, {"share", path.share}, {"mass_flow_kg_s", path.mass_flow_kg_s}});
  object["vent_to_blow_area_ratio"] = study.vent_to_blow_area_ratio;
  object["gap_area_mm2"] = study.gap_m2 * 1e6;
  object["as_designed"] = run_json(study.designed);
  if (study.with_clean_vents) object["with_clean_vents"] = run_json(*study.with_clean_vents);
  if (study.with_shut_halves) object["with_shut_halves"] = run_json(*study.with_shut_halves);
  object["without_heat_exchange"] = run_json(study.found_adiabatic);
  Json restore = Json::object();
  put(restore, "blow_bar", study.restoring_blow_bar);
  put(restore, "vent_area_factor", study.restoring_vent_factor);
  object["restores_design"] = std::move(restore);
  object["mass_error"] = study.found.mass_error;
  object["steps"] = study.found.steps;
  object["step_tolerance"] = study.found.step_tolerance;
  object["lines"] = blow_lines_json(study.lines);
  object["verdict"] = name(study.verdict);
  object["reasons"] = study.reasons;
  object["what_it_is"] = what_blowing_is();
  object["cautions"] = blowing_cautions();
  object["notes"] = study.notes;
  return object;
}

Json vents_json(const VentingStudy& study, const std::vector<InputFile>& inputs) {
  Json object = json_object(inputs);
  object["mass_flow_kg_s"] = study.mass_flow_kg_s;
  object["vents"] = Json::array();
  for (const VentStanding& vent : study.vents) object["vents"].push_back(vent_json(vent));
  object["parting_gap"] = {{"mass_flow_kg_s", study.leak_kg_s}, {"share", study.leak_share}};
  object["residence_s"] = {
      {"p50", study.residence_s.p50}, {"p95", study.residence_s.p95}, {"max", study.residence_s.max}};
  object["reached_last"] = {{"share", study.lines.worst_share.value},
                            {"residence_s", study.worst_age_s},
                            {"as_designed_s", study.worst_age_designed_s},
                            {"limit_s", study.limit_s},
                            {"where_mm", triple(study.worst_at_mm)}};
  object["unpurged_fraction"] = study.unpurged_fraction;
  object["pockets"] = Json::array();
  for (const AirPocket& pocket : study.pockets)
    object["pockets"].push_back({{"where_mm", triple(pocket.where_mm)},
                                 {"volume_mm3", pocket.volume_mm3},
                                 {"depth_mm", pocket.depth_mm},
                                 {"fills_last_rank", pocket.fills_last_rank}});
  object["one_more_vent"] = places_json(study);
  object["balance_error"] = study.balance_error;
  object["inertia_share"] = study.inertia_share;
  object["voxels"] = study.voxels;
  object["voxel_mm"] = study.voxel_mm;
  object["coarse_voxel_mm"] = study.coarse_voxel_mm;
  object["permeability_m2"] = study.permeability_m2;
  object["lines"] = vents_lines_json(study.lines);
  object["verdict"] = name(study.verdict);
  object["reasons"] = study.reasons;
  object["what_it_is"] = what_venting_is();
  object["cautions"] = venting_cautions();
  object["notes"] = study.notes;
  return object;
}

}  // namespace boxfettle
