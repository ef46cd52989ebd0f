// Sampling plans of several stages, down to stages of one piece.
#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "statistics/distributions.hpp"
#include "statistics/first_pieces.hpp"

namespace boxfettle {
namespace {

// Chances to have found 0, 1, 2 ... bad so far and still be checking.
using Undecided = std::vector<double>;

Undecided with_stage(const Undecided& before, std::size_t checked, double bad) {
  Undecided after(before.size() + checked, 0.0);
  for (std::size_t found = 0; found <= checked; ++found) {
    const double chance = binomial_probability(static_cast<double>(found), static_cast<double>(checked), bad);
    for (std::size_t so_far = 0; so_far < before.size(); ++so_far)
      after[so_far + found] += before[so_far] * chance;
  }
  return after;
}

// The one stage with the fewest pieces that keeps both risks.
PlanStage one_stage(const SequentialGoals& goals) {
  for (std::size_t accept = 0, pieces = 1;; ++accept) {
    pieces = std::max(pieces, accept + 1);
    const auto accepted = [&](double bad) {
      return binomial_cdf(static_cast<double>(accept), static_cast<double>(pieces), bad);
    };
    while (accepted(goals.poor) > goals.miss) ++pieces;
    if (accepted(goals.good) >= 1 - goals.alarm) return {pieces, accept, accept + 1};
  }
}

}  // namespace

PlanOutcome plan_outcome(std::span<const PlanStage> plan, double bad) {
  PlanOutcome outcome;
  Undecided undecided{1.0};
  for (const PlanStage& stage : plan) {
    double still = 0;
    for (const double chance : undecided) still += chance;
    outcome.pieces_checked += still * static_cast<double>(stage.checked);
    undecided = with_stage(undecided, stage.checked, bad);
    for (std::size_t found = 0; stage.accept && found <= *stage.accept && found < undecided.size(); ++found) {
      outcome.accepted += undecided[found];
      undecided[found] = 0;
    }
    if (undecided.size() > stage.reject) undecided.resize(stage.reject);
  }
  return outcome;
}

namespace {

// Wald's two lines, between which checking goes on: bad found = slope * checked - or + a start.
struct Lines {
  double slope, accept_start, reject_start;
};

Lines lines_of(const SequentialGoals& goals) {
  const double odds = std::log(goals.poor * (1 - goals.good) / (goals.good * (1 - goals.poor)));
  return {std::log((1 - goals.good) / (1 - goals.poor)) / odds,
          std::log((1 - goals.alarm) / goals.miss) / odds, std::log((1 - goals.miss) / goals.alarm) / odds};
}

StagedPlan cut_off(const Lines& lines, std::size_t length, std::size_t accept_at_end) {
  StagedPlan plan;
  for (std::size_t n = 1; n <= length; ++n) {
    const double line = lines.slope * static_cast<double>(n);
    PlanStage stage{1, std::nullopt, static_cast<std::size_t>(std::ceil(line + lines.reject_start))};
    if (line >= lines.accept_start) stage.accept = static_cast<std::size_t>(line - lines.accept_start);
    if (n == length) stage = {1, accept_at_end, accept_at_end + 1};
    plan.push_back(stage);
  }
  return plan;
}

// The shortest cut at which both risks are kept; empty when none up to three times `length` does.
std::optional<StagedPlan> shortest_cut(const Lines& lines, const SequentialGoals& goals, std::size_t length) {
  for (std::size_t cut = length; cut <= 3 * length; cut += 1 + length / 10) {
    const double line = lines.slope * static_cast<double>(cut);
    const auto most = static_cast<std::size_t>(line + lines.reject_start);
    for (std::size_t accept = static_cast<std::size_t>(line); accept <= most; ++accept) {
      StagedPlan plan = cut_off(lines, cut, accept);
      if (plan_outcome(plan, goals.poor).accepted <= goals.miss &&
          plan_outcome(plan, goals.good).accepted >= 1 - goals.alarm)
        return plan;
    }
  }
  return std::nullopt;
}

}  // namespace

StagedPlan sequential_plan(const SequentialGoals& goals) {
  const PlanStage single = one_stage(goals);
  // Wald's lines keep the sum of both risks, not each: one of them may need lines a little further apart.
  for (const double tighter : {1.0, 0.9, 0.8, 0.7, 0.6}) {
    SequentialGoals aimed = goals;
    aimed.alarm *= tighter;
    aimed.miss *= tighter;
    if (const auto plan = shortest_cut(lines_of(aimed), goals, single.checked)) return *plan;
  }
  return {single};
}

}  // namespace boxfettle
