#include "planning/timetable.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <numeric>

#include "planning/dispatch.hpp"
#include "planning/exact_order.hpp"
#include "planning/invented_tool_room.hpp"
#include "planning/lateness_bound.hpp"

namespace boxfettle {
namespace {

// Every order of the jobs with every choice of hands: some timetable so made is a best one (dispatch.hpp).
std::int64_t least_lateness(const PlanProblem& problem) {
  std::int64_t least = INT64_MAX;
  JobOrder order;
  order.jobs.resize(problem.jobs.size());
  order.fitter.resize(problem.jobs.size());
  std::iota(order.jobs.begin(), order.jobs.end(), std::size_t{0});
  do {
    std::vector<std::size_t> choice(problem.jobs.size(), 0);
    for (bool more = true; more;) {
      for (std::size_t i = 0; i < choice.size(); ++i) order.fitter[i] = problem.jobs[i].hands[choice[i]];
      if (const auto table = dispatched(problem, order)) least = std::min(least, table->lateness);
      more = false;
      for (std::size_t i = 0; i < choice.size() && !more; ++i) {
        more = ++choice[i] < problem.jobs[i].hands.size();
        if (!more) choice[i] = 0;
      }
    }
  } while (std::next_permutation(order.jobs.begin(), order.jobs.end()));
  return least;
}

RC_GTEST_PROP(ToolRoomTimetable, OfAFewJobsIsAsGoodAsTheBestOfAllOrdersAndSaysSo, ()) {
  const PlanProblem problem = any_tool_room(*rc::gen::inRange<std::uint32_t>(0, 1u << 30),
                                            {.jobs = *rc::gen::inRange(1, 6), .fitters = 2});
  const auto table = best_timetable(problem);
  RC_ASSERT(broken_rule(problem, table) == "");
  RC_ASSERT(table.lateness == least_lateness(problem));
  RC_ASSERT(table.proven());
}

RC_GTEST_PROP(ToolRoomTimetable, BoundIsNeverMoreThanTheLeastLateness, ()) {
  const PlanProblem problem = any_tool_room(*rc::gen::inRange<std::uint32_t>(0, 1u << 30),
                                            {.jobs = *rc::gen::inRange(1, 6), .fitters = 2});
  JobOrder order;
  for (std::size_t i = problem.jobs.size(); i-- > 0;) order.jobs.push_back(i);
  order.fitter.resize(order.jobs.size());
  const auto poor = dispatched(problem, order);
  RC_ASSERT(poor.has_value());
  RC_ASSERT(lateness_bound(problem, *poor, 60).at_least <= least_lateness(problem));
}

RC_GTEST_PROP(ToolRoomTimetable, ExactSearchAloneFindsTheBestFromAPoorBeginning, ()) {
  const PlanProblem problem = any_tool_room(*rc::gen::inRange<std::uint32_t>(0, 1u << 30),
                                            {.jobs = *rc::gen::inRange(1, 6), .fitters = 2});
  JobOrder order;
  for (std::size_t i = problem.jobs.size(); i-- > 0;) order.jobs.push_back(i);
  order.fitter.resize(order.jobs.size());
  const auto poor = dispatched(problem, order);
  RC_ASSERT(poor.has_value());
  const ExactSearch search = search_exactly(problem, *poor, 1'000'000, std::chrono::seconds(60));
  RC_ASSERT(search.finished);
  if (search.better) RC_ASSERT(broken_rule(problem, *search.better) == "");
  RC_ASSERT((search.better ? search.better->lateness : poor->lateness) == least_lateness(problem));
}

RC_GTEST_PROP(ToolRoomTimetable, OfManyJobsKeepsEveryRuleAndItsBoundBelowItsLateness, ()) {
  const PlanProblem problem = any_tool_room(*rc::gen::inRange<std::uint32_t>(0, 1u << 30),
                                            {.jobs = *rc::gen::inRange(15, 40), .fitters = 4});
  const auto table = best_timetable(problem, {.orders_tried_per_job = 20, .price_rounds = 20});
  RC_ASSERT(broken_rule(problem, table) == "");
  RC_ASSERT(table.at_least <= table.lateness);
}

TEST(ToolRoomTimetable, IsTheSameEachTime) {
  const PlanProblem problem = any_tool_room(7, {.jobs = 30, .fitters = 4});
  const PlanningEffort effort{.orders_tried_per_job = 70, .price_rounds = 30};
  EXPECT_EQ(best_timetable(problem, effort).jobs, best_timetable(problem, effort).jobs);
}

TEST(ToolRoomTimetable, OfNoJobsIsEmptyAndNothingIsLate) {
  const auto table = best_timetable({});
  EXPECT_TRUE(table.jobs.empty());
  EXPECT_TRUE(table.proven());
}

TEST(ToolRoomTimetable, AnHourLateOnARunOfTwoWeighsAsTwoHoursOnARunOfOne) {
  // One fitter, two boxes of two hours each, both runs due in two hours: the weightier one goes first.
  PlanProblem problem;
  std::vector<std::int64_t> day(16);
  std::iota(day.begin(), day.end(), 0);
  problem.fitters = {{"Ines", day}};
  problem.boxes = {{"TM-0001", {{"TM-0001/P1", 4, 10}}}, {"TM-0002", {{"TM-0002/P1", 4, 20}}}};
  problem.jobs = {{.job = "TM-0001/J1", .box = 0, .length = 4, .hands = {0}},
                  {.job = "TM-0002/J1", .box = 1, .length = 4, .hands = {0}}};
  const auto table = best_timetable(problem);
  EXPECT_EQ(table.jobs[1].start, 0);
  EXPECT_EQ(table.jobs[0].start, 4);
  EXPECT_EQ(table.lateness, 10 * 4);
  EXPECT_TRUE(table.proven());
}

}  // namespace
}  // namespace boxfettle
