// What the first pieces of a run say about all that follow: how many may still be bad, how many must be good
// before a claim holds, and plans that stop as early as they can.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "statistics/estimate.hpp"

namespace boxfettle {

// The bad fraction when `bad` of `checked` were bad (checked >= 1): exact two-sided interval. C. J. Clopper
// and E. S. Pearson, "The Use of Confidence or Fiducial Limits ...", Biometrika 26 (1934).
Estimate clopper_pearson(std::size_t checked, std::size_t bad, double confidence);

// The same asked from one side: with this confidence no more than so many are bad. 0 bad of 5 still allows
// 45 % at 95 %.
double at_most_bad(std::size_t checked, std::size_t bad, double confidence);

// The fewest that must be checked, with `bad` bad among them, to claim with this confidence that no more than
// `fraction` (0..1) are bad.
std::size_t pieces_needed(double fraction, std::size_t bad, double confidence);

// Limits mean +- factor * sd that hold at least `share` of all cores with this confidence, of `count` >= 2
// measured ones, when the values are normal.
struct ToleranceFactors {
  double two_sided, one_sided;
};
// Two-sided by integrating over the mean, one-sided by the noncentral t: R. E. Odeh and D. B. Owen, "Tables
// for Normal Tolerance Limits, Sampling Plans, and Screening" (1980).
ToleranceFactors tolerance_factors(std::size_t count, double share, double confidence);

// One stage of a plan: after `checked` more pieces, accept at or below `accept` bad in all, reject at or
// above `reject`, else go on to the next. In the last stage reject = accept + 1.
struct PlanStage {
  std::size_t checked;
  std::optional<std::size_t> accept;
  std::size_t reject;
};
using StagedPlan = std::vector<PlanStage>;

struct PlanOutcome {
  double accepted = 0;        // chance
  double pieces_checked = 0;  // on the average
};
// Exact, for a fraction of `bad` pieces (0..1).
PlanOutcome plan_outcome(std::span<const PlanStage> plan, double bad);

// A. Wald's sequential test piece by piece ("Sequential Analysis", 1947), cut off at the first length at
// which both risks are still kept exactly: a run with `good` bad fraction is rejected with chance `alarm` at
// most, one with `poor` accepted with chance `miss` at most. good < poor.
struct SequentialGoals {
  double good = 0.01, poor = 0.10;
  double alarm = 0.05, miss = 0.10;
};
StagedPlan sequential_plan(const SequentialGoals& goals);

}  // namespace boxfettle
