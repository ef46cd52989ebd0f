// What no timetable can beat. Every fitter's half hours get prices; each box then buys the cheapest hours for its
// jobs as if it were alone. What the boxes pay, lateness included, less the price of all hours there are, is never
// more than the least lateness (Lagrangian relaxation: M. L. Fisher, Management Science 27 (1981) 1-18, from
// memory). Raising the price of hours wanted by many makes the bound better.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "shop/plan_problem.hpp"

namespace boxfettle {

struct LatenessBound {
  std::int64_t at_least = 0;
  std::vector<std::size_t> jobs_by_start;  // as bought in the best round: a good order to begin with
};

// `known` is some timetable: the steps are aimed at its lateness, and hours after its end have no price.
LatenessBound lateness_bound(const PlanProblem& problem, const Timetable& known, int rounds);

}  // namespace boxfettle
