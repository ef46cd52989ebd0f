// From an order of jobs to a timetable: each job in turn begins as soon as its fitter, its box, its spares and
// the job before it allow. Some order gives a best timetable: the jobs of one by their beginning.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "shop/plan_problem.hpp"

namespace boxfettle {

struct JobOrder {
  std::vector<std::size_t> jobs;                   // every job once
  std::vector<std::optional<std::size_t>> fitter;  // by job; empty: whoever is done with it first
};

// `at_least` of the timetable is not set. Jobs that are begun come first, and a job comes no sooner than the
// one it follows, wherever they stand in the order. Empty when somebody's hours run out.
std::optional<Timetable> dispatched(const PlanProblem& problem, const JobOrder& order);

// Sum of the ends of all jobs: between timetables that are equally late, the one that is done sooner.
std::int64_t sum_of_ends(const Timetable& table);

// The best of many orders, from this one by moving jobs and fitters about, at first also to worse ones (simulated
// annealing: Kirkpatrick, Gelatt, Vecchi, Science 220 (1983) 671-680, from memory). The same problem and order give
// the same timetable. Empty when this order gives none.
std::optional<Timetable> improved(const PlanProblem& problem, JobOrder order, int orders_tried);

}  // namespace boxfettle
