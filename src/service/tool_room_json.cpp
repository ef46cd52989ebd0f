#include "service/tool_room_json.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "shop/entry_json.hpp"
#include "shop/spare_stock.hpp"
#include "shop/tool_room_work.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;
using Boxes = std::span<const std::shared_ptr<const BoxState>>;

const BoxState* box_named(Boxes boxes, const std::string& id) {
  const auto found = std::find_if(boxes.begin(), boxes.end(), [&](const auto& box) { return box->box == id; });
  return found == boxes.end() ? nullptr : found->get();
}

std::string name_of(Boxes boxes, const std::string& id) {
  const BoxState* box = box_named(boxes, id);
  return box != nullptr && box->registered ? box->registered->name : "";
}

json parts_json(const std::vector<PartNeeded>& parts) {
  json told = json::array();
  for (const PartNeeded& part : parts) told.push_back({{"spare", part.spare}, {"count", part.count}});
  return told;
}

// What is to be done, of a job by its number.
json work_json(Boxes boxes, const std::string& box, const std::string& number) {
  json told{{"job", number}, {"box", box}, {"box_name", name_of(boxes, box)}};
  const BoxState* state = box_named(boxes, box);
  if (state == nullptr) return told;
  const auto job = state->jobs.open.find(number);
  if (job == state->jobs.open.end()) return told;
  told["what"] = job->second.raised.what;
  told["skill"] = job->second.raised.skill;
  told["hours"] = job->second.raised.hours;
  told["parts"] = parts_json(job->second.raised.parts);
  told["run_open"] = state->runs.open.has_value();
  return told;
}

json fitter_json(const FitterPlan& plan, const ShopState& shop, Boxes boxes) {
  json told{{"fitter", plan.fitter}, {"skills", json::array()}, {"jobs", json::array()}};
  const auto hours = shop.fitters.find(plan.fitter);
  if (hours != shop.fitters.end()) told["skills"] = hours->second.skills;
  for (const PlannedJob& job : plan.jobs) {
    json one = work_json(boxes, job.box, job.job);
    one["start"] = job.start.iso();
    one["end"] = job.end.iso();
    one["begun"] = job.begun;
    told["jobs"].push_back(std::move(one));
  }
  return told;
}

json not_planned_json(const JobNotPlanned& job, Boxes boxes) {
  json told = work_json(boxes, job.box, job.job);
  told["why"] = name(job.why);
  told["lacks"] = job.lacks;
  return told;
}

json held_up_json(const HeldUpBy& by) {
  json told{{"job", by.job}, {"why", name(by.why)}, {"fitter", by.fitter}, {"other", by.other}};
  if (by.until) told["until"] = by.until->iso();
  return told;
}

json run_json(const RunOutlook& run, Boxes boxes) {
  json told{{"box", run.box},
            {"box_name", name_of(boxes, run.box)},
            {"plan", run.planned.plan},
            {"order", run.planned.order},
            {"start", run.planned.start.iso()},
            {"quantity", run.planned.quantity},
            {"importance", run.planned.importance},
            {"late", run.late()},
            {"hours_late", run.hours_late}};
  if (run.ready) told["ready"] = run.ready->iso();
  if (run.held_up) told["held_up"] = held_up_json(*run.held_up);
  if (run.never) told["never"] = not_planned_json(*run.never, boxes);
  return told;
}

json proposal_json(const BoxState& box, const ProposedJob& proposed) {
  return {{"box", box.box},
          {"box_name", box.registered ? box.registered->name : ""},
          {"what", proposed.job.what},
          {"skill", proposed.job.skill},
          {"hours", proposed.job.hours},
          {"parts", parts_json(proposed.job.parts)},
          {"spares_listed", proposed.spares_listed},
          {"from_entry", proposed.job.from_entry},
          {"found", proposed.found},
          {"caution", proposed.caution},
          {"origin", proposed.origin}};
}

json spare_json(const SpareOnShelf& spare, UtcTime now) {
  json told{{"spare", spare.spare},
            {"words", spare.words},
            {"counted", spare.counted},
            {"there", spare.there},
            {"minimum", spare.minimum},
            {"wanted", spare.wanted},
            {"ordered", spare.ordered},
            {"missing", spare.missing()},
            {"below_minimum", spare.below_minimum()},
            {"delivery_overdue", spare.delivery_overdue(now)}};
  if (spare.arrives) told["arrives"] = spare.arrives->iso();
  return told;
}

double tenths(double hours) {
  return std::round(10 * hours) / 10;
}

}  // namespace

json tool_room_json(const ToolRoomPlan& plan, const ShopState& shop, Boxes boxes, UtcTime now) {
  json told{{"at", now.iso()},
            {"fitters", json::array()},
            {"runs", json::array()},
            {"not_planned", json::array()},
            {"proposals", json::array()},
            {"spares", json::array()},
            {"weighted_hours_late", tenths(plan.weighted_hours_late)},
            {"at_least", tenths(plan.at_least)},
            {"proven", plan.proven}};
  for (const FitterPlan& fitter : plan.fitters) told["fitters"].push_back(fitter_json(fitter, shop, boxes));
  for (const RunOutlook& run : plan.runs) told["runs"].push_back(run_json(run, boxes));
  for (const JobNotPlanned& job : plan.not_planned) told["not_planned"].push_back(not_planned_json(job, boxes));
  for (const auto& box : boxes)
    for (const ProposedJob& proposed : proposed_jobs(*box)) told["proposals"].push_back(proposal_json(*box, proposed));
  for (const SpareOnShelf& spare : spares_on_shelf(shop, boxes)) told["spares"].push_back(spare_json(spare, now));
  return told;
}

}  // namespace boxfettle
