#include "shop/plan_problem.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "shop/work_calendar.hpp"

namespace boxfettle {
namespace {

constexpr std::int64_t half_hour_ms = 30 * 60 * 1000;

std::int64_t rounded_up(std::int64_t ms) {
  return ms / half_hour_ms + (ms % half_hour_ms > 0 ? 1 : 0);
}
std::int64_t rounded_down(std::int64_t ms) {
  return ms / half_hour_ms - (ms % half_hour_ms < 0 ? 1 : 0);
}

constexpr std::int64_t no_end = INT64_MAX;

// When that much work begun no earlier than `from` is over.
std::int64_t end_of_work(const std::vector<std::int64_t>& working, std::int64_t from, std::int64_t length) {
  const auto start = std::lower_bound(working.begin(), working.end(), from);
  return working.end() - start < length ? no_end : *(start + length - 1) + 1;
}

struct OpenJob {
  const BoxState* box;
  const ToolRoomJob* job;
  std::int64_t pressing;  // when the box's first run starts, as a time; the latest of all without one
};

class Asking {
 public:
  Asking(const ShopState& shop, std::span<const std::shared_ptr<const BoxState>> boxes,
         const std::map<std::string, UtcTime>& box_free, UtcTime now)
      : shop_(shop), box_free_(box_free), now_(now) {
    problem().start = {rounded_up(now.ms_since_epoch) * half_hour_ms};
    for (const SpareOnShelf& spare : spares_on_shelf(shop, boxes)) shelf_.push_back({spare, spare.there + spare.coming(now)});
    for (const auto& box : boxes) collect(*box);
    std::stable_sort(open_.begin(), open_.end(),
                     [](const OpenJob& a, const OpenJob& b) { return a.pressing < b.pressing; });
  }

  PlanQuestion asked() {
    add_fitters();
    leave_out_what_cannot_be_done();
    for (const OpenJob& open : open_) add(open);
    add_order();
    drop_what_never_runs_short();
    return std::move(question_);
  }

 private:
  struct Shelf {
    SpareOnShelf spare;
    std::int64_t left;  // to be promised
  };
  using Why = JobNotPlanned::Why;

  PlanProblem& problem() { return question_.problem; }
  std::int64_t half_hours(UtcTime at) { return rounded_up((at - problem().start).count()); }

  void collect(const BoxState& box) {
    if (box.scrapped) return;
    std::int64_t pressing = INT64_MAX;
    for (const auto& [plan, run] : box.jobs.planned) pressing = std::min(pressing, run.start.ms_since_epoch);
    for (const auto& [job, open] : box.jobs.open) open_.push_back({&box, &open, pressing});
  }

  void add_fitters() {
    for (const auto& [name, hours] : shop_.fitters)
      problem().fitters.push_back({name, working_half_hours(hours, shop_.away, problem().start)});
  }

  std::int64_t length(const ToolRoomJob& job) const {
    return std::max<std::int64_t>(1, static_cast<std::int64_t>(std::ceil(2 * job.raised.hours - 1e-9)));
  }

  // Half hours still to do: a begun job has been worked on since, as far as its fitter's hours go.
  std::int64_t still_to_do(const ToolRoomJob& job) {
    if (!job.started) return length(job);
    const auto fitter = shop_.fitters.find(job.started->fitter);
    if (fitter == shop_.fitters.end()) return length(job);
    const std::int64_t done = worked_half_hours(fitter->second, shop_.away, job.started_at, now_);
    return std::max<std::int64_t>(1, length(job) - done);
  }

  std::vector<std::size_t> hands_for(const ToolRoomJob& job) {
    std::vector<std::size_t> hands;
    std::size_t index = 0;
    for (const auto& [name, hours] : shop_.fitters) {
      const bool able = std::find(hours.skills.begin(), hours.skills.end(), job.raised.skill) !=
                        hours.skills.end();
      const bool at_it = job.started && job.started->fitter == name;
      const bool works = !problem().fitters[index].working.empty();
      if (at_it && works) return {index};
      if (able && works) hands.push_back(index);
      ++index;
    }
    return hands;
  }

  Shelf& shelf(const std::string& spare) {
    return *std::find_if(shelf_.begin(), shelf_.end(), [&](const Shelf& s) { return s.spare.spare == spare; });
  }

  std::optional<JobNotPlanned> promise_spares(const OpenJob& open) {
    if (open.job->started) return std::nullopt;
    std::map<std::string, std::int64_t> needs;
    for (const PartNeeded& part : open.job->raised.parts) needs[part.spare] += part.count;
    for (const auto& [spare, count] : needs)
      if (shelf(spare).left < count)
        return JobNotPlanned{open.job->raised.job, open.box->box, Why::no_spare, spare};
    for (const auto& [spare, count] : needs) shelf(spare).left -= count;
    return std::nullopt;
  }

  std::optional<JobNotPlanned> cannot_be_done(const OpenJob& open) {
    const JobRaised& raised = open.job->raised;
    if (hands_for(*open.job).empty())
      return JobNotPlanned{raised.job, open.box->box, Why::no_fitter, raised.skill};
    return promise_spares(open);
  }

  void leave_out_what_cannot_be_done() {
    std::set<std::string> out;
    std::erase_if(open_, [&](const OpenJob& open) {
      const auto why = cannot_be_done(open);
      if (why) {
        question_.not_planned.push_back(*why);
        out.insert(why->job);
      }
      return why.has_value();
    });
    leave_out_what_finds_no_time(out);
    while (std::erase_if(open_, [&](const OpenJob& open) {
      const JobRaised& raised = open.job->raised;
      if (!out.contains(raised.after)) return false;
      question_.not_planned.push_back({raised.job, open.box->box, Why::after_such, raised.after});
      return out.insert(raised.job).second;
    }) > 0) {
    }
  }

  // One job after the other, each by the slowest who can do it: what fits like this fits in any order.
  void leave_out_what_finds_no_time(std::set<std::string>& out) {
    std::int64_t day = 0;
    for (const auto& [box, free] : box_free_) day = std::max(day, half_hours(free));
    for (const Shelf& shelf : shelf_)
      if (shelf.spare.coming(now_) > 0) day = std::max(day, half_hours(*shelf.spare.arrives));
    std::erase_if(open_, [&](const OpenJob& open) {
      std::int64_t over = day;
      for (const std::size_t hand : hands_for(*open.job))
        over = std::max(over, end_of_work(problem().fitters[hand].working, day, still_to_do(*open.job)));
      if (over != no_end) {
        day = over;
        return false;
      }
      question_.not_planned.push_back({open.job->raised.job, open.box->box, Why::no_time, open.job->raised.skill});
      return out.insert(open.job->raised.job).second;
    });
  }

  std::size_t box_of(const BoxState& box) {
    auto& boxes = problem().boxes;
    for (std::size_t i = 0; i < boxes.size(); ++i)
      if (boxes[i].box == box.box) return i;
    PlanBox known{box.box, {}};
    for (const auto& [plan, run] : box.jobs.planned)
      known.runs.push_back({plan, rounded_down((run.start - problem().start).count()),
                            std::max<std::int64_t>(1, std::llround(10 * std::min(run.importance, 100.0)))});
    boxes.push_back(std::move(known));
    return boxes.size() - 1;
  }

  void add(const OpenJob& open) {
    PlanJob job;
    job.job = open.job->raised.job;
    job.box = box_of(*open.box);
    job.length = still_to_do(*open.job);
    job.hands = hands_for(*open.job);
    job.begun = open.job->started && job.hands.size() == 1 &&
                problem().fitters[job.hands.front()].name == open.job->started->fitter;
    const auto free = box_free_.find(open.box->box);
    if (free != box_free_.end() && !job.begun) job.earliest = std::max<std::int64_t>(0, half_hours(free->second));
    if (!open.job->started) add_needs(job, open.job->raised.parts);
    problem().jobs.push_back(std::move(job));
  }

  void add_needs(PlanJob& job, const std::vector<PartNeeded>& parts) {
    for (const PartNeeded& part : parts) {
      const Shelf& from = shelf(part.spare);
      auto& supplies = problem().supplies;
      auto supply = std::find_if(supplies.begin(), supplies.end(),
                                 [&](const PlanSupply& s) { return s.spare == part.spare; });
      if (supply == supplies.end()) {
        const std::int64_t arrives = from.spare.arrives ? std::max<std::int64_t>(0, half_hours(*from.spare.arrives)) : 0;
        supplies.push_back({part.spare, from.spare.there, arrives});
        supply = supplies.end() - 1;
      }
      const auto index = static_cast<std::size_t>(supply - supplies.begin());
      const auto same = std::find_if(job.needs.begin(), job.needs.end(),
                                     [&](const PlanNeed& need) { return need.supply == index; });
      if (same == job.needs.end())
        job.needs.push_back({index, part.count});
      else
        same->count += part.count;
    }
  }

  void add_order() {
    for (std::size_t i = 0; i < open_.size(); ++i)
      for (std::size_t k = 0; k < open_.size(); ++k)
        if (!problem().jobs[i].begun && !open_[i].job->raised.after.empty() &&
            open_[k].job->raised.job == open_[i].job->raised.after)
          problem().jobs[i].after = k;
  }

  // Enough for all now: nobody waits for it. Too few even for one job alone: that one waits in any case.
  void drop_what_never_runs_short() {
    std::vector<std::int64_t> wanted(problem().supplies.size(), 0);
    for (const PlanJob& job : problem().jobs)
      for (const PlanNeed& need : job.needs) wanted[need.supply] += need.count;
    for (PlanJob& job : problem().jobs) {
      std::erase_if(job.needs, [&](const PlanNeed& need) {
        return wanted[need.supply] <= problem().supplies[need.supply].there;
      });
      for (const PlanNeed& need : job.needs)
        if (need.count > problem().supplies[need.supply].there)
          job.earliest = std::max(job.earliest, problem().supplies[need.supply].arrives);
    }
  }

  const ShopState& shop_;
  const std::map<std::string, UtcTime>& box_free_;
  UtcTime now_;
  std::vector<Shelf> shelf_;
  std::vector<OpenJob> open_;
  PlanQuestion question_;
};

std::string wrong_with_job(const PlanProblem& problem, const Timetable& table, std::size_t index) {
  const PlanJob& job = problem.jobs[index];
  const PlacedJob& placed = table.jobs[index];
  if (std::find(job.hands.begin(), job.hands.end(), placed.fitter) == job.hands.end())
    return job.job + " is given to somebody who cannot do it";
  if (placed.start < job.earliest) return job.job + " begins too early";
  if (job.after && table.jobs[*job.after].end > placed.start) return job.job + " begins before the one it follows";
  const auto& working = problem.fitters[placed.fitter].working;
  const auto from = std::lower_bound(working.begin(), working.end(), placed.start);
  const auto to = std::lower_bound(working.begin(), working.end(), placed.end);
  if (from == working.end() || *from != placed.start) return job.job + " begins outside working hours";
  if (to - from != job.length || *(to - 1) + 1 != placed.end) return job.job + " is not given its hours";
  return "";
}

std::string wrong_with_pair(const PlanProblem& problem, const Timetable& table, std::size_t i, std::size_t k) {
  const PlacedJob &a = table.jobs[i], &b = table.jobs[k];
  const bool apart = a.end <= b.start || b.end <= a.start;
  const std::string both = problem.jobs[i].job + " and " + problem.jobs[k].job;
  if (a.fitter == b.fitter && !apart) return both + " are done by one fitter at the same time";
  if (problem.jobs[i].box == problem.jobs[k].box && !apart) return both + " are done on one box at the same time";
  const bool meet = a.fitter == b.fitter || problem.jobs[i].box == problem.jobs[k].box;
  if (meet && problem.jobs[i].begun && !problem.jobs[k].begun && b.start < a.start)
    return problem.jobs[i].job + " is begun but put off";
  return "";
}

}  // namespace

UtcTime PlanProblem::time(std::int64_t half_hours) const {
  return {start.ms_since_epoch + half_hours * half_hour_ms};
}

std::int64_t lateness(const PlanBox& box, std::int64_t ready) {
  std::int64_t sum = 0;
  for (const PlanRun& run : box.runs) sum += run.weight * std::max<std::int64_t>(0, ready - std::max<std::int64_t>(run.start, 0));
  return sum;
}

std::string broken_rule(const PlanProblem& problem, const Timetable& table) {
  if (table.jobs.size() != problem.jobs.size()) return "not every job is placed";
  std::vector<std::int64_t> ready(problem.boxes.size(), 0);
  std::vector<std::int64_t> early(problem.supplies.size(), 0);
  for (std::size_t i = 0; i < problem.jobs.size(); ++i) {
    if (std::string wrong = wrong_with_job(problem, table, i); !wrong.empty()) return wrong;
    for (std::size_t k = 0; k < problem.jobs.size(); ++k)
      if (i != k)
        if (std::string wrong = wrong_with_pair(problem, table, i, k); !wrong.empty()) return wrong;
    for (const PlanNeed& need : problem.jobs[i].needs)
      if (table.jobs[i].start < problem.supplies[need.supply].arrives) early[need.supply] += need.count;
    ready[problem.jobs[i].box] = std::max(ready[problem.jobs[i].box], table.jobs[i].end);
  }
  for (std::size_t i = 0; i < early.size(); ++i)
    if (early[i] > problem.supplies[i].there) return "there is too little of " + problem.supplies[i].spare;
  std::int64_t sum = 0;
  for (std::size_t i = 0; i < ready.size(); ++i) sum += lateness(problem.boxes[i], ready[i]);
  return sum == table.lateness ? "" : "its lateness is not what it says";
}

PlanQuestion plan_question(const ShopState& shop, std::span<const std::shared_ptr<const BoxState>> boxes,
                           const std::map<std::string, UtcTime>& box_free, UtcTime now) {
  return Asking(shop, boxes, box_free, now).asked();
}

}  // namespace boxfettle
