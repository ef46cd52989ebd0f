#include "service/page_json.hpp"

#include <algorithm>

#include "service/air_study.hpp"
#include "service/shop_json.hpp"
#include "shop/sentence.hpp"
#include "shop/shots_ahead.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

constexpr std::size_t most_entries = 500;

json verdict_json(const Verdict& verdict) {
  json reasons = json::array();
  for (const Reason& reason : verdict.reasons)
    reasons.push_back({{"state", name(reason.state)},
                       {"text", reason.text},
                       {"entry", reason.entry},
                       {"safety", reason.safety}});
  return {{"state", name(verdict.state)}, {"reasons", std::move(reasons)}};
}

json shots_ahead_json(const ShotsAhead& ahead) {
  json told{{"sentence", ahead.sentence}};
  if (!ahead.shots) return told;
  told["shots"] = *ahead.shots;
  told["checkpoint"] = ahead.checkpoint;
  return told;
}

json entry_json(const Entry& entry) {
  json told{{"seq", entry.seq},         {"at", entry.at.iso()},    {"who", entry.who},
            {"kind", kind(entry.body)}, {"text", sentence(entry)}, {"hash", entry.hash.hex()}};
  if (const auto* scan = std::get_if<ScanRead>(&entry.body)) told["reading"] = scan->reading;
  if (const auto* inspected = std::get_if<Inspected>(&entry.body))
    for (const CheckpointResult& result : inspected->results)
      if (result.photo) told["photos"].push_back(result.photo->hex());
  return told;
}

std::string summary(const ScanRead& scan) {
  if (scan.findings.empty())
    return scan.verdict == ScanRead::Verdict::cannot_tell ? "The scan cannot tell."
                                                          : "Nothing found beyond the limits.";
  std::string text = scan.findings.front().text;
  const std::size_t more = scan.findings.size() - 1;
  if (more > 0) text += " And " + std::to_string(more) + " more.";
  return text;
}

json reading_summary_json(const Entry& entry, const ScanRead& scan) {
  return {{"id", scan.reading},
          {"at", entry.at.iso()},
          {"file", scan.file_name},
          {"of", name(scan.of)},
          {"verdict", name(scan.verdict)},
          {"summary", summary(scan)}};
}

int hardness(Fitness fitness) {
  return fitness == Fitness::hold ? 0 : fitness == Fitness::watch ? 1 : 2;
}

}  // namespace

json floor_json(const std::string& shop, std::span<const std::shared_ptr<const BoxState>> boxes,
                const Catalogue& catalogue, UtcTime now) {
  std::vector<std::pair<int, json>> lines;
  for (const auto& box : boxes) {
    const Verdict said = verdict(*box, catalogue, now);
    lines.emplace_back(hardness(said.state), json{{"id", box->box},
                                                  {"name", box->registered->name},
                                                  {"verdict", verdict_json(said)},
                                                  {"place", place_json(box->place)},
                                                  {"run_open", box->runs.open.has_value()}});
  }
  std::stable_sort(lines.begin(), lines.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  json list = json::array();
  for (auto& line : lines) list.push_back(std::move(line.second));
  return {{"shop", shop}, {"at", now.iso()}, {"boxes", std::move(list)}};
}

json box_page_json(const BoxState& box, std::span<const Entry> entries, std::span<const Job> open_jobs,
                   const Catalogue& catalogue, std::int64_t run_shots, UtcTime now) {
  json logbook = json::array(), readings = json::array(), jobs = json::array();
  const auto newest = entries.last(std::min(entries.size(), most_entries));
  for (auto entry = newest.rbegin(); entry != newest.rend(); ++entry) {
    logbook.push_back(entry_json(*entry));
    if (const auto* scan = std::get_if<ScanRead>(&entry->body))
      readings.push_back(reading_summary_json(*entry, *scan));
  }
  for (const Job& job : open_jobs) jobs.push_back(job_json(job));
  const BoxRegistered& known = *box.registered;
  json told{{"id", box.box},
            {"name", known.name},
            {"process", known.process},
            {"material", known.material},
            {"makes", known.makes},
            {"verdict", verdict_json(verdict(box, catalogue, now, run_shots))},
            {"shots_ahead", shots_ahead_json(shots_ahead(box, catalogue, run_shots))},
            {"place", place_json(box.place)},
            {"has_design", known.design.has_value()},
            {"has_box_file", known.box_file.has_value()},
            {"limits",
             {{"surface_mm", known.limits.surface_mm},
              {"mismatch_mm", known.limits.mismatch_mm},
              {"gap_mm", known.limits.gap_mm}}},
            {"readings", std::move(readings)},
            {"logbook", std::move(logbook)},
            {"jobs", std::move(jobs)}};
  told.update(standing_json(box, catalogue, run_shots, now));
  return told;
}

json allowed_json(const AllowedValue& allowed) {
  constexpr std::array<const char*, 4> of{"number", "surface", "mismatch", "gap"};
  json told{{"at_most_of", of[static_cast<std::size_t>(allowed.at_most_of)]}};
  if (allowed.at_least) told["at_least"] = *allowed.at_least;
  if (allowed.at_most) told["at_most"] = *allowed.at_most;
  return told;
}

json catalogue_json(const Catalogue& catalogue) {
  json list = json::array();
  for (const Checkpoint& checkpoint : catalogue.checkpoints) {
    json told{{"id", checkpoint.id},
              {"title", checkpoint.title},
              {"how", checkpoint.how},
              {"fails_when", checkpoint.fails_when},
              {"evidence", name(checkpoint.evidence)},
              {"consequence", name(checkpoint.consequence)}};
    if (!checkpoint.unit.empty()) told["unit"] = checkpoint.unit;
    if (checkpoint.allowed != AllowedValue{}) told["allowed"] = allowed_json(checkpoint.allowed);
    if (!checkpoint.caution.empty()) told["caution"] = checkpoint.caution;
    list.push_back(std::move(told));
  }
  return {{"version", catalogue.version}, {"checkpoints", std::move(list)}};
}

json job_json(const Job& job) {
  json told{{"id", job.id},
            {"kind", job.work.kind},
            {"box", job.work.box},
            {"state", name(job.state)},
            {"share", job.share},
            {"step", job.step},
            {"queued_at", job.queued_at.iso()}};
  if (!job.work.file_name.empty()) told["file"] = job.work.file_name;
  if (job.state == JobState::done) told[job.work.kind == air_study_job ? "study" : "reading"] = job.result;
  if (job.state == JobState::failed) {
    told["problem"] = {{"what", job.problem.what}, {"mend", job.problem.mend}};
    if (!job.problem.place.empty()) told["problem"]["place"] = job.problem.place;
    if (!job.result.empty()) told["bodies"] = json::parse(job.result);
  }
  return told;
}

json bodies_json(const StepChoice& choice) {
  json list = json::array();
  for (std::size_t i = 0; i < choice.bodies.size(); ++i) {
    const StepBody& body = choice.bodies[i];
    list.push_back({{"number", i + 1},
                    {"name", body.name},
                    {"size_mm", {body.size_mm.x(), body.size_mm.y(), body.size_mm.z()}}});
  }
  return list;
}

json chain_check_json(const ChainCheck& check) {
  json told{{"whole", check.whole}, {"entries", check.entries}};
  if (check.broken_at) told["broken_at"] = *check.broken_at;
  if (!check.why.empty()) told["why"] = check.why;
  return told;
}

std::string written(const json& json) {
  return json.dump(-1, ' ', false, json::error_handler_t::replace);
}

HttpReply json_reply(int status, const json& json) {
  return text_reply(status, "application/json", written(json));
}

}  // namespace boxfettle
