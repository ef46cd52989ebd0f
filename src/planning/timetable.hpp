// The best timetable for the tool-room's jobs that is found in well under a second, and how much better one
// could be at most. docs/how/tool-room-plan.md tells the method.
#pragma once

#include <chrono>
#include <cstdint>

#include "shop/plan_problem.hpp"

namespace boxfettle {

// Counted in steps, not in time, so that the same question has the same answer on every machine; the clock
// only ends the exact search early on a slow one.
struct PlanningEffort {
  int orders_tried_per_job = 4000;                // by the search from order to order
  int placings = 16'000'000;                      // of single jobs, in all orders together
  int price_rounds = 120;                         // for the bound
  std::uint64_t exact_dead_ends = 20000;          // for the exact search
  std::chrono::milliseconds exact_at_most{250};
  std::size_t exact_jobs = 14;                    // beyond so many it would prove nothing in that time
};

// Every job fits before the fitters' hours run out: `plan_question` leaves out those that do not.
Timetable best_timetable(const PlanProblem& problem, const PlanningEffort& effort = {});

}  // namespace boxfettle
