#include "service/closing_study.hpp"

#include <algorithm>
#include <cmath>

#include "closing/dowel_check.hpp"
#include "closing/parting_gap.hpp"
#include "corebox/casting_tolerance.hpp"
#include "paper/closing_json.hpp"
#include "service/box_on_record.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

constexpr std::size_t most_kept = 8;
constexpr std::uint32_t most_step_s = 20;  // someone waits for the answer

double thickest_mm(const CoreBox& box) {
  double thickest = 0;
  for (const GapReading& reading : box.gap_readings) thickest = std::max(thickest, reading.clamped_mm);
  return thickest;
}

// All readings raised or lowered alike, so that the largest is as said; none below nothing.
void raise_readings(CoreBox& box, double thickest) {
  const double by = thickest - thickest_mm(box);
  for (GapReading& reading : box.gap_readings) {
    reading.clamped_mm = std::max(reading.clamped_mm + by, 0.0);
    if (reading.unclamped_mm) reading.unclamped_mm = std::max(*reading.unclamped_mm, reading.clamped_mm);
  }
}

ClosingStudy study_of(const BoxRegistered& registered, const StoredFiles& files) {
  ClosingStudy study{*box_on_record(registered, files), {}, {}};
  if (!registered.design) {
    study.notes.emplace_back("The box has no design on record: outline, weight and leak cannot be told.");
    return study;
  }
  StepReading step;
  step.processor_s = most_step_s;
  const DesignFile design = design_on_record(registered, study.box, files, step);
  study.footprint = cavity_footprint(design.mesh_mm, study.box.parting);
  const GradedLimits graded = graded_limits(study.box.limits, study.footprint->longest_mm);
  study.box.limits = graded.limits;
  study.notes = graded.notes;
  return study;
}

json place(const Eigen::Vector2d& at) {
  return {at.x(), at.y()};
}

json outlines_json(const CavityFootprint& footprint) {
  json list = json::array();
  for (const PartingLine& line : footprint.outlines) {
    json points = json::array();
    // A drawing needs no more than a few hundred points and a hundredth of a millimetre.
    const std::size_t stride = std::max<std::size_t>(line.size() / 400, 1);
    for (std::size_t i = 0; i < line.size(); i += stride)
      points.push_back({std::round(line[i].x() * 100) / 100, std::round(line[i].y() * 100) / 100});
    list.push_back({{"closed", true}, {"points_mm", std::move(points)}});
  }
  return list;
}

// The opening over the cavity in squares for a picture.
json field_json(const CavityFootprint& footprint, const GapField& field) {
  constexpr int across = 40;
  Eigen::Vector2d low = Eigen::Vector2d::Constant(1e300), high = -low;
  for (const Eigen::Vector2d& cell : footprint.cells_mm) {
    low = low.cwiseMin(cell);
    high = high.cwiseMax(cell);
  }
  const double size = std::max((high - low).maxCoeff() / across, 0.01);
  std::map<std::pair<int, int>, int> squares;
  for (const Eigen::Vector2d& cell : footprint.cells_mm)
    ++squares[{static_cast<int>((cell.x() - low.x()) / size), static_cast<int>((cell.y() - low.y()) / size)}];
  json list = json::array();
  for (const auto& [at, count] : squares) {
    const Eigen::Vector2d middle = low + size * Eigen::Vector2d(at.first + 0.5, at.second + 0.5);
    list.push_back({middle.x(), middle.y(), std::max(field.opening_mm(middle), 0.0)});
  }
  return {{"size_mm", size}, {"at", std::move(list)}};
}

json dowels_json(const CoreBox& on_record, const CoreBox& measured) {
  json list = json::array();
  for (std::size_t i = 0; i < measured.dowels.size(); ++i) {
    const Dowel& dowel = measured.dowels[i];
    list.push_back({{"id", dowel.id},
                    {"at_mm", place(dowel.at_parting_mm)},
                    {"kind", dowel.kind == Dowel::Bush::slot ? "slot" : "round"},
                    {"slot_axis", place(dowel.slot_axis)},
                    {"pin_mm", dowel.pin_mm},
                    {"bush_mm", dowel.bush_mm},
                    {"from", dowel == on_record.dowels[i] ? "box-file" : "inspection"}});
  }
  return list;
}

json clamps_json(const CoreBox& box) {
  json list = json::array();
  for (const Clamp& clamp : box.clamps) {
    json one{{"id", clamp.id}, {"at_mm", place(clamp.at_parting_mm)}};
    if (clamp.kind == Clamp::Kind::bolt) {
      one["kind"] = "bolt";
      one["thread"] = clamp.thread;
      one["class"] = clamp.strength_class;
      one["torque_Nm"] = clamp.torque_Nm;
    } else {
      one["kind"] = "toggle";
      one["force_N"] = clamp.force_N;
    }
    list.push_back(std::move(one));
  }
  return list;
}

json inspection_json(const MeasuredClosing& measured) {
  json told = json::object();
  const auto put = [&](const char* key, const std::optional<LastResult>& result) {
    if (!result) return;
    told[key] = *result->result.measured;
    told["entry"] = result->entry;
    told["at"] = result->at.iso();
  };
  put("leaf_free_mm", measured.leaf_free);
  put("leaf_clamped_mm", measured.leaf_clamped);
  put("dowel_shift_mm", measured.dowel_shift);
  return told;
}

// The play felt may be half of the mismatch limit (common practice; the checkpoint says so).
json wear_json(const CoreBox& box, std::span<const PlayReading> play) {
  const DowelWear wear = dowel_wear(play, 0.5 * box.limits.mismatch_mm);
  json told{{"readings", wear.readings},
            {"told", wear.told},
            {"limit_mm", wear.limit_mm},
            {"series", json::array()}};
  for (const PlayReading& reading : play) told["series"].push_back({reading.shots, reading.play_mm});
  if (!wear.why_not.empty()) {
    told["why_not"] = wear.why_not;
    return told;
  }
  const Estimate& rate = wear.rate_mm_per_1000;
  told["rate_mm_per_1000"] = {{"value", rate.value}, {"low", rate.low}, {"high", rate.high}};
  if (wear.told && wear.shots_to_limit && std::isfinite(wear.shots_to_limit->value))
    told["shots_to_limit"] = {{"p05", wear.shots_to_limit->low}, {"p50", wear.shots_to_limit->value}};
  return told;
}

double in_range(const JsonFields& fields, const std::string& key, double low, double high, double otherwise) {
  const double value = fields.number(key).value_or(otherwise);
  if (!(value >= low && value <= high)) fields.refuse(key, "is out of range", "give a sensible value");
  return value;
}

template <typename Part>
Part& part_named(std::vector<Part>& parts, const JsonFields& fields) {
  const std::string id = fields.text("id", 200);
  const auto found =
      std::find_if(parts.begin(), parts.end(), [&](const Part& part) { return part.id == id; });
  if (found == parts.end()) fields.refuse("id", "is no part of this box", "reload the page");
  return *found;
}

}  // namespace

std::shared_ptr<const ClosingStudy> ClosingStudies::of(const BoxRegistered& registered) {
  if (!registered.box_file) return nullptr;
  const std::string key = registered.box_file->hex() + (registered.design ? registered.design->hex() : "");
  const std::scoped_lock lock(mutex_);
  if (const auto found = kept_.find(key); found != kept_.end()) return found->second;
  auto study = std::make_shared<const ClosingStudy>(study_of(registered, files_));
  if (kept_.size() >= most_kept) kept_.clear();
  kept_.emplace(key, study);
  return study;
}

MeasuredClosing measured_closing(const BoxState& state) {
  const auto last = [&](const char* checkpoint) -> std::optional<LastResult> {
    const auto found = state.results.find(checkpoint);
    if (found == state.results.end() || !found->second.result.measured) return std::nullopt;
    return found->second;
  };
  return {last("dowels"), last("closure-clamped"), last("closure-free")};
}

std::vector<PlayReading> play_series(std::span<const Entry> entries,
                                     const std::function<double(UtcTime)>& shots_by) {
  std::vector<PlayReading> series;
  for (const Entry& entry : entries)
    if (const auto* inspected = std::get_if<Inspected>(&entry.body))
      for (const CheckpointResult& result : inspected->results)
        if (result.checkpoint == "dowels" && result.measured)
          series.push_back({shots_by(entry.at), *result.measured});
  return series;
}

CoreBox as_measured(CoreBox box, const MeasuredClosing& measured) {
  constexpr double most_shift_mm = 5,
                   most_leaf_mm = 20;  // more is a slip of the keys, and the box file stands
  if (measured.dowel_shift) {
    const double shift = *measured.dowel_shift->result.measured;
    for (Dowel& dowel : box.dowels)
      if (dowel.kind == Dowel::Bush::round && shift <= most_shift_mm)
        dowel.bush_mm = std::max(dowel.bush_mm, dowel.pin_mm + shift);
  }
  if (measured.leaf_clamped) {
    const double leaf = *measured.leaf_clamped->result.measured;
    if (leaf > thickest_mm(box) && leaf <= most_leaf_mm) raise_readings(box, leaf);
  }
  return box;
}

CoreBox with_tried(CoreBox box, const JsonFields& tried) {
  for (const JsonFields& fields : tried.list("dowels", 200)) {
    Dowel& dowel = part_named(box.dowels, fields);
    dowel.pin_mm = in_range(fields, "pin_mm", 0.5, 200, dowel.pin_mm);
    dowel.bush_mm = in_range(fields, "bush_mm", 0.5, 200, dowel.bush_mm);
    if (dowel.pin_mm > dowel.bush_mm)
      fields.refuse("pin_mm", "is larger than bush_mm", "the pin would not enter its bush");
    if (dowel.kind == Dowel::Bush::slot && dowel.slot_length_mm)
      dowel.slot_length_mm = std::max(*dowel.slot_length_mm, dowel.bush_mm);
  }
  for (const JsonFields& fields : tried.list("clamps", 200)) {
    Clamp& clamp = part_named(box.clamps, fields);
    if (clamp.kind == Clamp::Kind::bolt)
      clamp.torque_Nm = in_range(fields, "torque_Nm", 0, 10000, clamp.torque_Nm);
    else
      clamp.force_N = in_range(fields, "force_N", 0, 1e7, clamp.force_N);
  }
  if (tried.number("clamped_mm")) raise_readings(box, in_range(tried, "clamped_mm", 0, 20, 0));
  return box;
}

json closing_answer_json(const ClosingStudy& study, const CoreBox& box, bool renewals) {
  json answer = json::object();
  const CavityFootprint* const footprint = study.footprint ? &*study.footprint : nullptr;
  if (!box.dowels.empty()) {
    DowelCheckSettings settings;
    settings.likely.draws = 20'000;
    settings.look_for_renewals = renewals;
    const DowelCheck check = dowel_check(
        box, footprint != nullptr ? footprint->outline_points_mm() : std::vector<Eigen::Vector2d>{},
        settings);
    answer["dowels"] = dowel_check_json(check, box, {});
  }
  PartingGap gap = parting_gap(box, footprint);
  gap.notes.insert(gap.notes.begin(), study.notes.begin(), study.notes.end());
  answer["gap"] = parting_gap_json(gap, box, {});
  if (footprint != nullptr && gap.clamped && gap.clamped->told())
    answer["field"] = field_json(*footprint, *gap.clamped);
  answer["cautions"] = closing_cautions();
  for (const char* part : {"dowels", "gap"})
    if (answer.contains(part))
      for (const char* said_elsewhere : {"boxfettle", "inputs", "cautions", "axes"})
        answer[part].erase(said_elsewhere);
  return answer;
}

json closing_page_json(const ClosingStudy& study, const MeasuredClosing& measured,
                       std::span<const PlayReading> play) {
  const CoreBox box = as_measured(study.box, measured);
  json readings = json::array();
  for (const GapReading& reading : box.gap_readings)
    readings.push_back({{"at_mm", place(reading.at_parting_mm)}, {"clamped_mm", reading.clamped_mm}});
  return {{"dowels", dowels_json(study.box, box)},
          {"clamps", clamps_json(box)},
          {"readings", std::move(readings)},
          {"leaf_from", box.gap_readings == study.box.gap_readings ? "box-file" : "inspection"},
          {"inspection", inspection_json(measured)},
          {"wear", wear_json(study.box, play)},
          {"outlines", study.footprint ? outlines_json(*study.footprint) : json::array()},
          {"answer", closing_answer_json(study, box, true)}};
}

}  // namespace boxfettle
