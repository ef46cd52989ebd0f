// Random but sensible tool-rooms, for tests and for measuring.
#pragma once

#include <map>
#include <random>
#include <string>

#include "shop/plan_problem.hpp"

namespace boxfettle {

struct InventedToolRoom {
  int jobs = 60;
  int fitters = 5;
};

// Day shifts of eight hours, Monday to Friday, one fitter of three on half days; about two jobs to a box; a
// run for three boxes of four, due within the time the work takes; now and then a job that follows another, is
// begun already, or needs a spare that is short.
inline PlanProblem any_tool_room(std::uint32_t seed, const InventedToolRoom& size) {
  std::mt19937 random(seed);
  const auto below = [&](std::int64_t n) { return static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(n)); };
  PlanProblem problem;
  for (int f = 0; f < size.fitters; ++f) {
    PlanFitter fitter{"Fitter " + std::to_string(f + 1), {}};
    const std::int64_t hours = f % 3 == 2 ? 8 : 16;
    for (std::int64_t day = 0; day < 90; ++day)
      if (day % 7 < 5)
        for (std::int64_t at = 0; at < hours; ++at) fitter.working.push_back(48 * day + 2 * (f % 2) + at);
    problem.fitters.push_back(std::move(fitter));
  }
  const std::int64_t boxes = std::max(1, size.jobs * 6 / 10);
  const std::int64_t days = 1 + 8 * size.jobs / (16 * size.fitters);
  const auto new_box = [&](std::int64_t b) {
    PlanBox box{"TM-" + std::to_string(1000 + b), {}};
    if (below(4) > 0)
      box.runs.push_back({box.box + "/P1", 48 * below(days) + 2 * below(8), 10 * (1 + below(3))});
    problem.boxes.push_back(std::move(box));
    return problem.boxes.size() - 1;
  };
  std::map<std::int64_t, std::size_t> box_of;  // only those that a job falls to
  problem.supplies = {{"PIN-12", 1 + below(2), 48 * (1 + below(3))}};
  for (int j = 0; j < size.jobs; ++j) {
    PlanJob job;
    job.job = "J" + std::to_string(j + 1);
    const std::int64_t number = below(boxes);
    job.box = box_of.contains(number) ? box_of[number] : (box_of[number] = new_box(number));
    job.length = 1 + below(16);
    for (int f = 0; f < size.fitters; ++f)
      if (below(2) == 0) job.hands.push_back(static_cast<std::size_t>(f));
    if (job.hands.empty()) job.hands.push_back(static_cast<std::size_t>(below(size.fitters)));
    if (below(8) == 0) job.earliest = below(96);
    if (below(6) == 0) job.needs.push_back({0, 1});
    job.begun = job.hands.size() == 1 && job.earliest == 0 && job.needs.empty() && below(4) == 0;
    for (std::size_t k = 0; k < problem.jobs.size() && !job.begun && !job.after; ++k)
      if (problem.jobs[k].box == job.box && below(2) == 0) job.after = k;
    problem.jobs.push_back(std::move(job));
  }
  return problem;
}

}  // namespace boxfettle
