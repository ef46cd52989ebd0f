// The search that proves: which of two jobs comes first, by whom each is done, decided one pair after the other,
// with Gecode. For a few jobs.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>

#include "shop/plan_problem.hpp"

namespace boxfettle {

struct ExactSearch {
  std::optional<Timetable> better;  // the best one with less lateness than the known one, when one was found
  bool finished = false;            // nothing better than `better`, or than the known one, exists
};

ExactSearch search_exactly(const PlanProblem& problem, const Timetable& known, std::uint64_t dead_ends,
                           std::chrono::milliseconds at_most);

}  // namespace boxfettle
