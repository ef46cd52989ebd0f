// The tool-room's plan as people read it: who does what when, which run will be late, and what holds it up.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/plan_problem.hpp"

namespace boxfettle {

struct PlannedJob {
  std::string job, box;
  UtcTime start, end;
  bool begun = false;
};

struct FitterPlan {
  std::string fitter;
  std::vector<PlannedJob> jobs;  // in the order of doing
};

// What a run waits for most: the job that ends last, and why it cannot end sooner.
struct HeldUpBy {
  enum class Why {
    work,       // it goes on from the first moment and is still too long
    fitter,     // its fitter is at another job first
    spare,      // a spare has still to come
    box_in_use  // the box is at a run
  };
  std::string job;
  Why why = Why::work;
  std::string fitter;           // who does it
  std::string other;            // the other job, or the spare
  std::optional<UtcTime> until;  // when that is over
};

std::string_view name(HeldUpBy::Why why);            // "work", "fitter", "spare", "box-in-use"
std::string_view name(JobNotPlanned::Why why);       // "no-fitter", "no-spare", "no-time", "after-such"

struct RunOutlook {
  std::string box;
  RunPlanned planned;
  std::optional<UtcTime> ready;         // when the box is; empty when a job of it cannot be planned
  double hours_late = 0;                // 0: in time
  std::optional<HeldUpBy> held_up;      // of a late run
  std::optional<JobNotPlanned> never;   // why it will not be ready
  bool late() const { return !ready || hours_late > 0; }
};

struct ToolRoomPlan {
  std::vector<FitterPlan> fitters;          // those who work here, by name, with or without jobs
  std::vector<RunOutlook> runs;             // by their start; of boxes without an open job too
  std::vector<JobNotPlanned> not_planned;
  double weighted_hours_late = 0;           // sum of importance times hours late
  double at_least = 0;                      // no plan has less
  bool proven = true;                       // the two are the same
};

ToolRoomPlan tool_room_plan(const PlanQuestion& question, const Timetable& table,
                            std::span<const std::shared_ptr<const BoxState>> boxes);

// When each box that is at a run comes free, at the pace its cores have been counted at; a run nobody counts is
// left out.
std::map<std::string, UtcTime> boxes_come_free(std::span<const std::shared_ptr<const BoxState>> boxes,
                                               const std::map<std::string, std::int64_t>& run_shots, UtcTime now);

}  // namespace boxfettle
