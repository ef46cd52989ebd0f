#include "planning/timetable.hpp"

#include <algorithm>
#include <cassert>
#include <numeric>
#include <optional>
#include <utility>

#include "planning/dispatch.hpp"
#include "planning/exact_order.hpp"
#include "planning/lateness_bound.hpp"

namespace boxfettle {
namespace {

JobOrder order_of(std::vector<std::size_t> jobs) {
  JobOrder order{std::move(jobs), {}};
  order.fitter.resize(order.jobs.size());
  return order;
}

JobOrder order_of(const Timetable& table) {
  std::vector<std::size_t> jobs(table.jobs.size());
  std::iota(jobs.begin(), jobs.end(), std::size_t{0});
  std::stable_sort(jobs.begin(), jobs.end(),
                   [&](std::size_t a, std::size_t b) { return table.jobs[a].start < table.jobs[b].start; });
  JobOrder order = order_of(std::move(jobs));
  for (std::size_t i = 0; i < table.jobs.size(); ++i) order.fitter[i] = table.jobs[i].fitter;
  return order;
}

void prove(const PlanProblem& problem, Timetable& best, const PlanningEffort& effort) {
  if (best.proven() || problem.jobs.size() > effort.exact_jobs) return;
  const ExactSearch search = search_exactly(problem, best, effort.exact_dead_ends, effort.exact_at_most);
  if (search.better) {
    const std::int64_t at_least = best.at_least;
    best = *search.better;
    best.at_least = at_least;
  }
  if (search.finished) best.at_least = best.lateness;
}

}  // namespace

Timetable best_timetable(const PlanProblem& problem, const PlanningEffort& effort) {
  const int jobs = std::max(1, static_cast<int>(problem.jobs.size()));
  const int orders_tried = std::min(effort.orders_tried_per_job * jobs, effort.placings / jobs);
  std::vector<std::size_t> as_given(problem.jobs.size());
  std::iota(as_given.begin(), as_given.end(), std::size_t{0});
  const auto first = improved(problem, order_of(std::move(as_given)), orders_tried / 8);
  assert(first);
  Timetable best = *first;
  const LatenessBound bound = lateness_bound(problem, best, effort.price_rounds);
  std::optional<Timetable> bought = dispatched(problem, order_of(bound.jobs_by_start));
  const JobOrder from = bought && bought->lateness < best.lateness ? order_of(*bought) : order_of(best);
  if (const auto other = improved(problem, from, orders_tried))
    if (std::pair(other->lateness, sum_of_ends(*other)) < std::pair(best.lateness, sum_of_ends(best)))
      best = *other;
  best.at_least = bound.at_least;
  prove(problem, best, effort);
  return best;
}

}  // namespace boxfettle
