// What the tool-room has to get done, by whom and for which runs: the question a plan answers. Times are
// counted in half hours from the plan's start, which is the next full or half hour (UTC).
//
// A job is done by one fitter who has its skill, in one go; when the working day ends it goes on the next.
// A box lies on one bench at a time. A run can start when every open job of its box is done: until then it is
// late.
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/shop_state.hpp"
#include "shop/spare_stock.hpp"
#include "shop/utc_time.hpp"

namespace boxfettle {

struct PlanFitter {
  std::string name;
  std::vector<std::int64_t> working;  // the half hours they work in, ascending
};

struct PlanNeed {
  std::size_t supply = 0;  // its place in PlanProblem::supplies
  std::int64_t count = 1;
};

struct PlanJob {
  std::string job;
  std::size_t box = 0;             // its place in PlanProblem::boxes
  std::int64_t length = 1;         // half hours of work, at least 1
  std::int64_t earliest = 0;       // not begun before
  std::vector<std::size_t> hands;  // fitters who can do it, at least one
  std::optional<std::size_t> after = {};
  std::vector<PlanNeed> needs = {};
  bool begun = false;  // its only fitter does it before anything else, and nothing else is done on its box before; its
                       // spares are taken already
};

// A spare of which there are not enough now for every job that needs it, but there will be.
struct PlanSupply {
  std::string spare;
  std::int64_t there = 0;
  std::int64_t arrives = 0;  // a job begun from then on finds its own
};

struct PlanRun {
  std::string plan;
  std::int64_t start = 0;   // may be past
  std::int64_t weight = 1;  // tenths of its importance, at least 1
};

struct PlanBox {
  std::string box;
  std::vector<PlanRun> runs;
};

struct PlanProblem {
  UtcTime start;
  std::vector<PlanFitter> fitters;
  std::vector<PlanBox> boxes;  // those with a job
  std::vector<PlanJob> jobs;
  std::vector<PlanSupply> supplies;

  UtcTime time(std::int64_t half_hours) const;
};

struct PlacedJob {
  std::size_t fitter = 0;
  std::int64_t start = 0, end = 0;
  bool operator==(const PlacedJob&) const = default;
};

struct Timetable {
  std::vector<PlacedJob> jobs;  // as PlanProblem::jobs
  std::int64_t lateness = 0;    // sum over the runs of weight times half hours late
  std::int64_t at_least = 0;    // no timetable has less
  bool proven() const { return lateness == at_least; }
};

// Weight times half hours late, of all runs of a box that is ready then.
std::int64_t lateness(const PlanBox& box, std::int64_t ready);

// The first sentence that is wrong with a timetable; empty when it keeps every rule of the problem and its
// lateness is what it says.
std::string broken_rule(const PlanProblem& problem, const Timetable& table);

struct JobNotPlanned {
  enum class Why { no_fitter, no_spare, no_time, after_such };
  std::string job, box;
  Why why = Why::no_fitter;
  std::string lacks;  // the skill, the spare, the skill of those who are booked out, or the job before it
};

struct PlanQuestion {
  PlanProblem problem;
  std::vector<JobNotPlanned> not_planned;
};

// Of all open jobs and planned runs. Spares that will never do for all go to the jobs whose runs come first.
// `box_free`: when a box that is at a run comes free; boxes not named are free now.
PlanQuestion plan_question(const ShopState& shop, std::span<const std::shared_ptr<const BoxState>> boxes,
                           const std::map<std::string, UtcTime>& box_free, UtcTime now);

}  // namespace boxfettle
