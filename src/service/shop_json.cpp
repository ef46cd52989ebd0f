#include "service/shop_json.hpp"

#include <algorithm>
#include <cmath>

#include "shop/care_clock.hpp"
#include "shop/entry_fields.hpp"
#include "shop/entry_json.hpp"
#include "shop/run_phase.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

constexpr std::size_t most_past_runs = 50;

// Whole minutes hide nothing a person could act on.
json rounded(double number) {
  return std::round(number * 10) / 10;
}

json last_care_json(const LastCare& last) {
  return {{"at", last.at.iso()}, {"who", last.who}, {"entry", last.entry}};
}

json care_json(const CareStanding& care) {
  json told{{"id", care.rule.id},         {"title", care.rule.title},
            {"how", care.rule.how},       {"caution", care.rule.caution},
            {"standing", name(care.how)}, {"stop_after_minutes", care.rule.stop_after_minutes}};
  if (care.minutes_left) told["minutes_left"] = rounded(*care.minutes_left);
  if (care.shots_left) told["shots_left"] = *care.shots_left;
  if (care.days_left) told["days_left"] = rounded(*care.days_left);
  if (care.last) told["last"] = last_care_json(*care.last);
  return told;
}

json run_json(const BoxState& box, const Catalogue& catalogue, std::int64_t shots, UtcTime now) {
  const OpenRun& run = *box.runs.open;
  const RunPhase phase = run_phase(box, catalogue, shots, now);
  json told = body_json(run.opened);
  told.erase("care");
  told["phase"] = name(phase.at);
  told["why_stopped"] = phase.why;
  told["good_in_a_row"] = phase.good_in_a_row;
  told["opened_at"] = run.at.iso();
  told["in_charge"] = run.in_charge;
  told["shots"] = shots;
  told["running_minutes"] = rounded(static_cast<double>(run.running(now).count()) / 60e3);
  told["paused_why"] = run.paused_why;
  told["looked_at"] = json::array();
  for (const FirstPieceLooked& piece : run.first_pieces) told["looked_at"].push_back(body_json(piece));
  told["care"] = json::array();
  for (const CareStanding& care : care_standing(box.runs, shots, now))
    told["care"].push_back(care_json(care));
  return told;
}

json past_run_json(const PastRun& run) {
  json told = body_json(run.closed);
  told["station"] = run.opened.station;
  told["order"] = run.opened.order;
  told["batch"] = run.opened.batch;
  told["opened_at"] = run.opened_at.iso();
  told["closed_at"] = run.closed_at.iso();
  told["entry"] = run.closed_entry;
  return told;
}

json piece_json(const std::string& label, const KitPiece& piece) {
  return {{"piece", label},
          {"name", piece.registered.name},
          {"home", piece.registered.home},
          {"place", place_json(piece.place)},
          {"last_run", piece.last_run}};
}

json component_json(const KnownComponent& known, std::int64_t made) {
  json told = body_json(known.fitted);
  told["at"] = known.at.iso();
  told["entry"] = known.entry;
  told["shots_since"] = made - known.made_before;
  return told;
}

json file_json(const KnownFile& known) {
  json told = body_json(known.filed);
  told["entry"] = known.entry;
  told["at"] = known.at.iso();
  return told;
}

json out_of_use_json(const OutOfUse& out) {
  return {{"why", out.why}, {"at", out.at.iso()}, {"who", out.who}, {"entry", out.entry}};
}

json concession_json(const OpenConcession& given, const BoxState& box, std::int64_t shots, UtcTime now) {
  const std::int64_t left = given.conceded.shots - (box.runs.made + shots - given.made_before);
  json told = body_json(given.conceded);
  told["who"] = given.who;
  told["entry"] = given.entry;
  told["shots_left"] = std::max<std::int64_t>(0, left);
  told["runs_now"] = left > 0 && now < given.conceded.until;
  return told;
}

json defect_json(const SeenDefect& seen) {
  json told = body_json(seen.seen);
  told["entry"] = seen.entry;
  told["at"] = seen.at.iso();
  told["who"] = seen.who;
  return told;
}

json trace_json(const ListedTrace& trace) {
  json told = body_json(trace.listed);
  told["entry"] = trace.entry;
  told["at"] = trace.at.iso();
  told["closed"] = trace.closed();
  told["false_alarm"] = trace.false_alarm;
  if (!told.contains("lots")) told["lots"] = json::array();
  for (const auto& [lot, done] : trace.dealt_with)
    told["lots"][static_cast<std::size_t>(lot)]["dealt_with"] = body_json(done);
  return told;
}

json job_json(const ToolRoomJob& job) {
  json told = body_json(job.raised);
  told["entry"] = job.entry;
  told["at"] = job.at.iso();
  if (job.started) {
    told["fitter"] = job.started->fitter;
    told["started_at"] = job.started_at.iso();
  }
  return told;
}

template <class Map, class Write>
json list_of(const Map& map, Write write) {
  json list = json::array();
  for (const auto& [key, value] : map) list.push_back(write(key, value));
  return list;
}

}  // namespace

json place_json(const Place& place) {
  return {{"kind", name(place.kind)}, {"text", place.text}};
}

json standing_json(const BoxState& box, const Catalogue& catalogue, std::int64_t run_shots, UtcTime now) {
  json told{{"pieces", list_of(box.kit, piece_json)},
            {"components", list_of(box.components,
                                   [&](const auto&, const auto& known) {
                                     return component_json(known, box.runs.made + run_shots);
                                   })},
            {"files", list_of(box.files, [](const auto&, const auto& known) { return file_json(known); })},
            {"concessions", json::array()},
            {"defects", json::array()},
            {"not_seen", json::array()},
            {"traces",
             list_of(box.suspects.traces, [](const auto&, const auto& trace) { return trace_json(trace); })},
            {"doubts", untraced_doubts(box)},
            {"tool_room", list_of(box.jobs.open, [](const auto&, const auto& job) { return job_json(job); })},
            {"planned_runs",
             list_of(box.jobs.planned, [](const auto&, const auto& planned) { return body_json(planned); })},
            {"past_runs", json::array()},
            {"made", box.runs.made}};
  if (box.runs.open) told["run"] = run_json(box, catalogue, run_shots, now);
  if (box.quarantine) told["quarantine"] = out_of_use_json(*box.quarantine);
  if (box.scrapped) told["scrapped"] = out_of_use_json(*box.scrapped);
  for (const OpenConcession& given : box.concessions)
    told["concessions"].push_back(concession_json(given, box, run_shots, now));
  for (const SeenDefect& seen : box.suspects.unexplained) told["defects"].push_back(defect_json(seen));
  for (const MissedDefect& missed : box.suspects.not_seen) told["not_seen"].push_back(name(missed.defect));
  const auto& past = box.runs.past;
  for (std::size_t i = 0; i < std::min(past.size(), most_past_runs); ++i)
    told["past_runs"].push_back(past_run_json(past[past.size() - 1 - i]));
  return told;
}

json shop_json(const ShopState& shop) {
  const auto body = [](const auto&, const auto& told) { return body_json(told); };
  json told{{"places", list_of(shop.places, body)},
            {"spares", list_of(shop.spares,
                               [](const auto&, const auto& known) { return body_json(known.counted); })},
            {"fitters", list_of(shop.fitters, body)},
            {"sands", list_of(shop.sands, body)},
            {"care", json::array()}};
  for (const ShopCareChosen& care : shop.care) told["care"].push_back(body_json(care));
  return told;
}

json suspects_json(const Suspects& found) {
  SuspectsListed listed;
  listed.trace = "?";
  listed.property = found.property;
  listed.why = "?";
  listed.lots = found.lots;
  json lots = body_json(listed).value("lots", json::array());
  return {{"property", found.property}, {"cores", found.cores},           {"whole_life", found.whole_life},
          {"sentence", found.sentence}, {"good_entry", found.good.entry}, {"bad_entry", found.bad.entry},
          {"lots", std::move(lots)}};
}

json stock_take_json(const StockTake& taken) {
  json told{{"lines", json::array()}, {"unknown", taken.unknown}};
  for (const StockLine& line : taken.lines) {
    json one = body_json(line.taken);
    one["box"] = line.box;
    told["lines"].push_back(std::move(one));
  }
  return told;
}

json found_box_json(const BoxState& box) {
  return {{"id", box.box},
          {"name", box.registered->name},
          {"makes", box.registered->makes},
          {"place", place_json(box.place)}};
}

}  // namespace boxfettle
