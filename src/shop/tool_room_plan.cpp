#include "shop/tool_room_plan.hpp"

#include <algorithm>
#include <array>

namespace boxfettle {
namespace {

class Reading {
 public:
  Reading(const PlanQuestion& question, const Timetable& table) : question_(question), table_(table) {}

  std::vector<FitterPlan> fitters() const {
    std::vector<FitterPlan> plans;
    for (const PlanFitter& fitter : problem().fitters) plans.push_back({fitter.name, {}});
    for (std::size_t i = 0; i < table_.jobs.size(); ++i) {
      const PlacedJob& placed = table_.jobs[i];
      const PlanJob& job = problem().jobs[i];
      plans[placed.fitter].jobs.push_back({job.job, problem().boxes[job.box].box, problem().time(placed.start),
                                           problem().time(placed.end), job.begun});
    }
    for (FitterPlan& plan : plans)
      std::sort(plan.jobs.begin(), plan.jobs.end(),
                [](const PlannedJob& a, const PlannedJob& b) { return a.start < b.start; });
    return plans;
  }

  RunOutlook outlook(const std::string& box, const RunPlanned& run) const {
    RunOutlook outlook{box, run, problem().start, 0, {}, {}};
    for (const JobNotPlanned& job : question_.not_planned)
      if (job.box == box) {
        outlook.ready.reset();
        outlook.never = job;
        return outlook;
      }
    const auto last = last_of(box);
    if (!last) return outlook;
    outlook.ready = problem().time(table_.jobs[*last].end);
    const auto late = *outlook.ready - std::max(run.start, problem().start);
    if (late.count() <= 0) return outlook;
    outlook.hours_late = static_cast<double>(late.count()) / 3600e3;
    outlook.held_up = held_up(*last);
    return outlook;
  }

 private:
  using Why = HeldUpBy::Why;

  const PlanProblem& problem() const { return question_.problem; }

  std::optional<std::size_t> last_of(const std::string& box) const {
    std::optional<std::size_t> last;
    for (std::size_t i = 0; i < table_.jobs.size(); ++i)
      if (problem().boxes[problem().jobs[i].box].box == box &&
          (!last || table_.jobs[i].end > table_.jobs[*last].end))
        last = i;
    return last;
  }

  // The job begins when it does because of something that was over at `time`: its fitter's next hour.
  bool starts_after(std::size_t index, std::int64_t time) const {
    const PlacedJob& placed = table_.jobs[index];
    const auto& working = problem().fitters[placed.fitter].working;
    const auto next = std::lower_bound(working.begin(), working.end(), time);
    return time > 0 && next != working.end() && *next == placed.start;
  }

  std::optional<std::size_t> job_before(std::size_t index, bool same_fitter) const {
    for (std::size_t k = 0; k < table_.jobs.size(); ++k) {
      const bool same = same_fitter ? table_.jobs[k].fitter == table_.jobs[index].fitter
                                    : problem().jobs[k].box == problem().jobs[index].box;
      if (k != index && same && table_.jobs[k].end <= table_.jobs[index].start && starts_after(index, table_.jobs[k].end))
        return k;
    }
    return std::nullopt;
  }

  HeldUpBy held_up(std::size_t index) const {
    const PlanJob& job = problem().jobs[index];
    HeldUpBy by{job.job, Why::work, problem().fitters[table_.jobs[index].fitter].name, "", {}};
    if (job.begun) return by;
    for (const PlanNeed& need : job.needs) {
      const PlanSupply& supply = problem().supplies[need.supply];
      if (!starts_after(index, supply.arrives)) continue;
      by.why = Why::spare;
      by.other = supply.spare;
      by.until = problem().time(supply.arrives);
      return by;
    }
    if (starts_after(index, job.earliest)) {
      by.why = Why::box_in_use;
      by.until = problem().time(job.earliest);
      return by;
    }
    // Of two jobs on one box the first may be what holds it up: the question is asked of that one then.
    const auto on_box = job_before(index, false);
    if (on_box) return held_up(*on_box);
    if (const auto other = job_before(index, true)) {
      by.why = Why::fitter;
      by.other = problem().jobs[*other].job;
      by.until = problem().time(table_.jobs[*other].end);
    }
    return by;
  }

  const PlanQuestion& question_;
  const Timetable& table_;
};

}  // namespace

std::string_view name(HeldUpBy::Why why) {
  constexpr std::array<std::string_view, 4> names{"work", "fitter", "spare", "box-in-use"};
  return names[static_cast<std::size_t>(why)];
}

std::string_view name(JobNotPlanned::Why why) {
  constexpr std::array<std::string_view, 4> names{"no-fitter", "no-spare", "no-time", "after-such"};
  return names[static_cast<std::size_t>(why)];
}

ToolRoomPlan tool_room_plan(const PlanQuestion& question, const Timetable& table,
                            std::span<const std::shared_ptr<const BoxState>> boxes) {
  const Reading reading(question, table);
  ToolRoomPlan plan{reading.fitters(), {}, question.not_planned};
  for (const auto& box : boxes)
    for (const auto& [id, run] : box->jobs.planned) plan.runs.push_back(reading.outlook(box->box, run));
  std::stable_sort(plan.runs.begin(), plan.runs.end(), [](const RunOutlook& a, const RunOutlook& b) {
    return a.planned.start < b.planned.start;
  });
  // Tenths of importance times half hours.
  plan.weighted_hours_late = static_cast<double>(table.lateness) / 20;
  plan.at_least = static_cast<double>(table.at_least) / 20;
  plan.proven = table.proven();
  return plan;
}

std::map<std::string, UtcTime> boxes_come_free(std::span<const std::shared_ptr<const BoxState>> boxes,
                                               const std::map<std::string, std::int64_t>& run_shots, UtcTime now) {
  std::map<std::string, UtcTime> free;
  for (const auto& box : boxes) {
    const auto shots = run_shots.find(box->box);
    if (!box->runs.open || shots == run_shots.end() || shots->second <= 0) continue;
    const std::int64_t left = std::max<std::int64_t>(0, box->runs.open->opened.planned - shots->second);
    const double ms_each = static_cast<double>(box->runs.open->running(now).count()) / static_cast<double>(shots->second);
    free[box->box] = now + std::chrono::milliseconds(static_cast<std::int64_t>(ms_each * static_cast<double>(left)));
  }
  return free;
}

}  // namespace boxfettle
