// How often a chart cries wolf and how soon it sees a shift: the mean number of points up to and with the
// first signal. Points are taken as independent and normal (or binomial, or Poisson), limits as exactly
// known; limits from few subgroups signal more or less often than these figures say.
#pragma once

#include <optional>

#include "statistics/run_rules.hpp"

namespace boxfettle {

struct RunLengths {
  std::optional<double> in_control;       // points between false alarms; empty: never one
  std::optional<double> one_sigma_shift;  // points until a shift of one sigma is seen; empty: never
};

// A chart with limits at 3 sigma and run rules, its points shifted by `shift` of their own sigmas. Markov
// chain over what the rules remember: C. W. Champ and W. H. Woodall, "Exact Results for Shewhart Control
// Charts with Supplementary Runs Rules", Technometrics 29 (1987). Drift and see-saw compare values, not
// zones, and are not counted in.
double shewhart_run_length(const RuleSettings& rules, double shift);

// EWMA with weight lambda and steady limits at width times its own sigma, started at the centre. Integral
// equation by quadrature: S. V. Crowder, "A Simple Method for Studying Run-Length Distributions of
// Exponentially Weighted Moving Average Charts", Technometrics 29 (1987).
double ewma_run_length(double lambda, double width, double shift);

// Both one-sided sums of the tabular CUSUM with reference k and limit h, in sigmas of a point, started at 0.
// E. S. Page, "Continuous Inspection Schemes", Biometrika 41 (1954), and for the two sides together
// 1/ARL = 1/ARL_high + 1/ARL_low (W. D. Ewan and K. W. Kemp, Biometrika 47 (1960)).
double cusum_run_length(double k, double h, double shift);

// Bad fraction of `checked`, limits at centre +- 3 sqrt(p(1-p)/n); empty when no point can ever be outside.
std::optional<double> p_run_length(double checked, double centre, double actual);
// Counts, limits at centre +- 3 sqrt(centre).
std::optional<double> c_run_length(double centre, double actual);

}  // namespace boxfettle
