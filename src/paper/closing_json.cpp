#include "paper/closing_json.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "paper/json_object.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;
using Eigen::Vector2d;

constexpr double degrees = 180 / std::numbers::pi;

Json pair(const Vector2d& v) {
  return {v.x(), v.y()};
}
Json triple(const Eigen::Vector3d& v) {
  return {v.x(), v.y(), v.z()};
}
Json span(const Span& s, double scale = 1) {
  return {s.low * scale, s.high * scale};
}

Json axes_json(const PartingFace& parting) {
  return {{"point_mm", triple(parting.point_mm)},
          {"normal", triple(parting.normal)},
          {"x_axis", triple(parting.x_axis)},
          {"y_axis", triple(parting.y_axis)}};
}

Json shift_json(const HalfShift& shift) {
  return {{"move_mm", pair(shift.move_mm)}, {"angle_deg", shift.angle_rad * degrees}};
}

Json likely_json(const LikelyShift& likely) {
  return {{"mean", likely.mean_mm},
          {"p50", likely.p50_mm},
          {"p95", likely.p95_mm},
          {"p99", likely.p99_mm},
          {"draws", likely.draws}};
}

Json renewal_json(const Renewal& renewal) {
  Json object{{"worst_mm", renewal.worst_mm}, {"changes", Json::array()}};
  for (const DowelChange& change : renewal.changes)
    object["changes"].push_back(
        {{"id", change.after.id}, {"what", name(change.what)}, {"nominal_mm", change.nominal_mm}});
  return object;
}

void put_play(Json& object, const DowelCheck& check) {
  const DowelPlay& play = check.play;
  object["held"] = play.held();
  if (!play.assembles()) object["interference_mm"] = play.interference_mm();
  if (!play.held()) return;
  object["play"] = {{"tx_mm", span(play.x_mm())},
                    {"ty_mm", span(play.y_mm())},
                    {"theta_deg", span(play.angle_rad(), degrees)}};
}

Json limits_json(const SizeLimits& limits) {
  return {{"lower_um", limits.lower_um}, {"upper_um", limits.upper_um}};
}

Json clamps_json(const Clamping& clamping) {
  Json list = Json::array();
  for (const ClampForce& clamp : clamping.clamps) {
    Json one{{"id", clamp.id},
             {"at_mm", pair(clamp.at_parting_mm)},
             {"force_N", clamp.force_N},
             {"low_N", clamp.low_N},
             {"high_N", clamp.high_N}};
    if (clamp.proof_share) one["proof_share"] = *clamp.proof_share;
    if (clamping.load_shared) {
      one["load_N"] = clamp.load_N;
      one["load_share"] = clamping.opening_N > 0 ? clamp.load_N / clamping.opening_N : 0;
      if (clamp.load_N > 0) one["margin"] = clamp.margin;
    }
    list.push_back(std::move(one));
  }
  return list;
}

void put_field(Json& object, const GapField& field) {
  if (!field.told()) return;
  object["plane"] = {
      {"offset_mm", field.offset_mm()},
      {"tilt_deg", pair(degrees * Vector2d(std::atan(field.slope().y()), -std::atan(field.slope().x())))}};
  object["warped"] = field.warped();
  object["warp_mm"] = field.warp_mm();
  object["scatter_mm"] = field.scatter_mm();
}

void put_growth(Json& object, const PartingGap& gap, const CoreBox& box) {
  if (gap.growth) {
    object["growth_mm"] = {{"mean", gap.growth->mean_mm},
                           {"max", gap.growth->max_mm},
                           {"at_mm", pair(gap.growth->at_parting_mm)}};
    object["u95_mm"] = gap.growth->u95_mm;
    object["mean_u95_mm"] = gap.growth->mean_u95_mm;
  }
  if (gap.clamped) put_field(object, *gap.clamped);
  if (gap.clamped && gap.clamped->told()) {
    object["points"] = Json::array();
    for (const WatchPoint& point : box.watch_points)
      object["points"].push_back({{"id", point.id},
                                  {"at_mm", pair(point.at_parting_mm)},
                                  {"growth_mm", std::max(gap.clamped->opening_mm(point.at_parting_mm), 0.0)},
                                  {"u95_mm", gap.clamped->u95_mm(point.at_parting_mm)}});
  }
  if (gap.added) {
    object["added_volume_cm3"] = gap.added->volume_cm3;
    object["added_weight_g"] = gap.added->weight_g;
    object["added_weight_u95_g"] = gap.added->volume_u95_cm3 * box.sand.bulk_density_g_cm3;
    object["added_weight_percent"] = gap.added->percent;
    object["core_weight_g"] = gap.added->core_weight_g;
  }
  if (gap.leak) {
    object["leak_area_mm2"] = gap.leak->area_mm2;
    object["leak_kg_s"] = gap.leak->mass_flow_kg_s;
    if (gap.leak->share_of_vents) object["leak_share_of_vents"] = *gap.leak->share_of_vents;
    if (gap.leak->regime) object["leak_regime"] = name(*gap.leak->regime);
  }
}

}  // namespace

std::vector<std::string> closing_cautions() {
  return {
      "Clamps and toggles hold stored energy, and halves can fall: isolate and lock out air and drives, let "
      "the stored "
      "pressure go, block a raised half before hands go between.",
      "A loose handle or lifting point: stop, no run, no lift until a competent person has passed it.",
      "A calculation is no safety function and no lifting assessment; local codes, the maker's sheet and a "
      "competent "
      "person decide.",
  };
}

nlohmann::ordered_json dowel_check_json(const DowelCheck& check, const CoreBox& box,
                                        const std::vector<InputFile>& inputs) {
  Json object = json_object(inputs);
  object["verdict"] = name(check.verdict);
  object["assembles"] = check.play.assembles();
  object["limit_mm"] = check.limit_mm;
  if (check.worst) {
    object["worst_mismatch_mm"] = check.worst->mm;
    object["worst_at_mm"] = pair(check.worst->at_parting_mm);
    object["worst_shift"] = shift_json(check.worst->shift);
  }
  object["points"] = Json::array();
  for (const WatchedShift& point : check.watched)
    object["points"].push_back(
        {{"id", point.id}, {"at_mm", pair(point.worst.at_parting_mm)}, {"worst_mm", point.worst.mm}});
  put_play(object, check);
  if (check.likely) object["likely_mm"] = likely_json(*check.likely);
  if (check.likely_pushed) object["likely_pushed_mm"] = likely_json(*check.likely_pushed);
  object["wear"] = Json::array();
  for (const WearEffect& effect : check.wear)
    object["wear"].push_back(
        {{"id", effect.id}, {"clearance_mm", effect.clearance_mm}, {"worst_rise_mm", effect.worst_rise_mm}});
  if (check.renewal) object["renewal"] = renewal_json(*check.renewal);
  if (check.pitch)
    object["pitch"] = {{"difference_mm", check.pitch->pitch_difference_mm},
                       {"play_mm", check.pitch->play_mm},
                       {"bind_mm", check.pitch->bind_mm}};
  object["advice"] = check.advice;
  object["axes"] = axes_json(box.parting);
  object["cautions"] = closing_cautions();
  object["notes"] = check.notes;
  return object;
}

nlohmann::ordered_json fit_json(const FitResult& result, const Fit& fit) {
  Json object = json_object({});
  object["size_mm"] = result.size_mm;
  object["fit"] = fit.text();
  object["hole"] = limits_json(result.hole);
  object["shaft"] = limits_json(result.shaft);
  object["clearance_um"] = {result.warm_least_um, result.warm_most_um};
  object["kind"] = name(result.kind);
  object["clearance_at_20C_um"] = {result.least_um, result.most_um};
  object["growth_um"] = result.growth_um;
  object["notes"] = {
      "ISO 286-1:2010, from tables found second-hand and compared; deviations are from the size at 20 "
      "degC, clearance is at the temperatures given."};
  return object;
}

nlohmann::ordered_json parting_gap_json(const PartingGap& gap, const CoreBox& box,
                                        const std::vector<InputFile>& inputs) {
  Json object = json_object(inputs);
  object["verdict"] = name(gap.verdict);
  object["limit_mm"] = box.limits.gap_mm;
  put_growth(object, gap, box);
  object["grain_mm"] = gap.grain_mm;
  if (gap.sand) {
    object["sand_can_escape"] = *gap.sand != SandEscape::none;
    object["sand_runs_out"] = *gap.sand == SandEscape::runs_out;
  }
  if (gap.closes_under_clamp) object["closes_under_clamp"] = *gap.closes_under_clamp;
  object["cause"] = Json::array();
  object["causes"] = Json::array();
  for (const RankedCause& cause : gap.causes) {
    object["cause"].push_back(cause.text);
    object["causes"].push_back(
        {{"cause", name(cause.cause)}, {"weight", cause.weight}, {"text", cause.text}});
  }
  object["clamp_force_N"] = gap.clamps.force_N;
  object["clamp_force_low_N"] = gap.clamps.low_N;
  if (gap.clamps.opening_N > 0) {
    object["opening_force_N"] = gap.clamps.opening_N;
    object["clamp_margin"] = gap.clamps.margin;
    object["clamp_margin_low"] = gap.clamps.margin_low;
  }
  object["clamps"] = clamps_json(gap.clamps);
  if (gap.clamps.slack_first) object["slack_first"] = gap.clamps.clamps[*gap.clamps.slack_first].id;
  object["advice"] = gap.advice;
  object["axes"] = axes_json(box.parting);
  object["cautions"] = closing_cautions();
  object["notes"] = gap.notes;
  return object;
}

nlohmann::ordered_json weights_json(const WeightsBesideFeelers& both) {
  const WeightWitness& w = both.weights;
  Json object{{"cores", w.cores},
              {"mean_g", w.mean_g},
              {"right_weight_g", both.right_weight_g},
              {"excess_g", w.excess_g},
              {"excess_u95_g", w.excess_u95_g},
              {"equivalent_gap_mm", w.opening_mm},
              {"equivalent_gap_u95_mm", w.opening_u95_mm}};
  if (both.compared) {
    object["agrees_with_feelers"] = both.compared->agree;
    object["difference_mm"] = both.compared->difference_mm;
    object["difference_u95_mm"] = both.compared->u95_mm;
    object["suggestion"] = both.compared->suggestion;
  }
  return object;
}

}  // namespace boxfettle
