#include "service/air_study.hpp"

#include <algorithm>

#include "closing/feeler_opening.hpp"
#include "paper/cavity_blob.hpp"
#include "paper/venting_json.hpp"
#include "service/box_on_record.hpp"
#include "service/closing_study.hpp"
#include "venting/blow_study.hpp"
#include "venting/venting_study.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

constexpr std::size_t shown_cells = 500'000;  // 2 MB for a viewer
constexpr std::size_t most_checks = 500;      // of a vent, the newest
constexpr const char* study_ids_begin = "air-";
// Raised when a study says more, so that one kept by an older program is not taken for today's.
constexpr int study_form = 2;

std::vector<VentCheck> checks_of(const std::string& vent, const std::string& box, Store& store) {
  std::vector<VentCheck> checks;
  for (const NumberedMeasurement& one :
       store.measurements.newest_standing(box, plugged_characteristic(vent), 1, most_checks)) {
    const Measurement& measured = one.measurement;
    if (measured.unit == "%" && measured.value >= 0 && measured.value <= 100)
      checks.push_back({measured.at, measured.value / 100});
  }
  std::stable_sort(checks.begin(), checks.end(),
                   [](const VentCheck& a, const VentCheck& b) { return a.at < b.at; });
  return checks;
}

json origin_json(const VentOnRecord& record) {
  if (!record.plugged) return {{"from", "box-file"}};
  return {{"from", record.cleaned ? "cleaning" : "check"}, {"at", record.at.iso()}};
}

CoreBox with_plugged(CoreBox box, const std::map<std::string, double>& tried) {
  for (Vent& vent : box.vents)
    if (const auto found = tried.find(vent.id); found != tried.end()) vent.plugged = found->second;
  return box;
}

// What stands beside the study's own file and cautions is said there once.
json without_frame(json answer) {
  for (const char* said_elsewhere : {"boxfettle", "inputs"}) answer.erase(said_elsewhere);
  return answer;
}

}  // namespace

std::string AirInputs::study_id() const {
  json all{{"version", BOXFETTLE_VERSION},
           {"form", study_form},
           {"box_file", registered.box_file->hex()},
           {"design", registered.design->hex()}};
  const CoreBox studied = with_plugged(box, tried);
  for (const Vent& vent : studied.vents) all["plugged"][vent.id] = vent.plugged;
  for (const auto& [id, vent] : vents)
    if (vent.rate) all["rate"][id] = {vent.rate->per_hour, vent.rate->origin};
  for (const GapReading& reading : box.gap_readings) all["clamped_mm"].push_back(reading.clamped_mm);
  return study_ids_begin + content_hash(all.dump()).hex();
}

std::optional<AirInputs> air_inputs(const BoxState& state, Store& store) {
  const BoxRegistered& registered = *state.registered;
  if (!registered.design) return std::nullopt;
  auto on_file = box_on_record(registered, store.files);
  if (!on_file) return std::nullopt;
  AirInputs inputs{registered, as_measured(std::move(*on_file), measured_closing(state)), {}, {}};
  const std::vector<Entry> entries = store.logbook.of_box(state.box);
  for (Vent& vent : inputs.box.vents) {
    const VentOnRecord record = vent_on_record(checks_of(vent.id, state.box, store), entries);
    vent.plugged = record.plugged.value_or(vent.plugged);
    inputs.vents.emplace(vent.id, record);
  }
  return inputs;
}

std::map<std::string, double> vents_tried(const CoreBox& box, const JsonFields& fields) {
  std::map<std::string, double> tried;
  for (const JsonFields& one : fields.list("vents", 1000)) {
    const std::string id = one.text("id", 200);
    const auto known =
        std::any_of(box.vents.begin(), box.vents.end(), [&](const Vent& vent) { return vent.id == id; });
    if (!known) one.refuse("id", "is no vent of this box", "load the page again");
    const auto plugged = one.number("plugged");
    if (!plugged || !(*plugged >= 0 && *plugged <= 1))
      one.refuse("plugged", "is no share of the open area", "send a number from 0 to 1");
    tried[id] = *plugged;
  }
  return tried;
}

std::string air_job_settings(const std::map<std::string, double>& tried) {
  return json(tried).dump();
}

std::map<std::string, double> air_job_tried(const std::string& settings) {
  return json::parse(settings).get<std::map<std::string, double>>();
}

json blow_of_box(const TriangleMesh& design_mm, const CoreBox& box) {
  BlowSettings settings;
  settings.opening_mm = feeler_opening(box).opening_mm;
  settings.lines = lines_of(box);
  return without_frame(blow_json(study_blowing(design_mm, box, settings), {}));
}

json air_page_json(const AirInputs& inputs, const std::optional<std::string>& study) {
  json vents = json::array();
  for (const Vent& vent : inputs.box.vents) {
    const VentOnRecord& record = inputs.vents.at(vent.id);
    json one{{"id", vent.id},
             {"at_mm", {vent.at_design_mm.x(), vent.at_design_mm.y(), vent.at_design_mm.z()}},
             {"diameter_mm", vent.diameter_mm},
             {"plugged", vent.plugged},
             {"plugged_origin", origin_json(record)}};
    if (record.rate) one["plugging"] = {{"per_hour", record.rate->per_hour}, {"origin", record.rate->origin}};
    vents.push_back(std::move(one));
  }
  json page{{"vents", std::move(vents)},
            {"gas_bar", inputs.box.air.gas_bar},
            {"gas_seconds", inputs.box.air.gas_seconds}};
  if (study) page["study"] = *study;
  return page;
}

StoredReading do_air_study(const AirInputs& inputs, const StoredFiles& files,
                           const std::function<bool(double, std::string_view)>& progress) {
  const auto told = [&](double share, std::string_view step) {
    if (!progress(share, step)) throw VentingCancelled{};
  };
  told(0, "reading the files");
  StepReading step_reading;
  step_reading.while_waiting = [&] { told(0, "reading the files"); };
  const CoreBox box = with_plugged(inputs.box, inputs.tried);
  const DesignFile design = design_on_record(inputs.registered, box, files, step_reading);
  const FeelerOpening opening = feeler_opening(box);
  VentingSettings settings;
  settings.opening_mm = opening.opening_mm;
  settings.lines = lines_of(box);
  settings.picture_cells = shown_cells;
  settings.progress = [&](double share, std::string_view step) { return progress(0.05 + 0.9 * share, step); };
  settings.plugging = [&](const std::string& vent) { return inputs.vents.at(vent).rate; };
  VentingStudy study = study_venting(design.mesh_mm, box, settings);
  study.notes.insert(study.notes.begin(), design.notes.begin(), design.notes.end());
  if (!opening.note.empty()) study.notes.push_back(opening.note);
  told(0.96, "filling the box with air");
  json answer{{"id", inputs.study_id()},
              {"tried", inputs.tried},
              {"gas", without_frame(vents_json(study, {}))},
              {"blow", blow_of_box(design.mesh_mm, box)}};
  return {inputs.study_id(), box.id, answer.dump(), cavity_blob(design.mesh_mm, *study.picture), {}};
}

void keep_air_study(const StoredReading& study, AirInputs inputs, StoredReadings& kept) {
  kept.put(study);
  inputs.tried.clear();
  kept.keep_newest(study.box, study_ids_begin, tried_studies_kept, inputs.study_id());
}

}  // namespace boxfettle
