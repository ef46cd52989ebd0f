// hypre's multigrid solvers on the benchmark's equations, one MPI rank.
#pragma once

#include <vector>

#include "hollow_ball.hpp"

namespace boxfettle::bench {

struct HypreSession {
  HypreSession();
  ~HypreSession();
};

struct OthersRun {
  double setup_s, solve_s;
  int iterations;
  std::vector<double> x;
};

OthersRun boomeramg(const LinearProblem& linear);  // conjugate gradients, HMIS coarsening
OthersRun pfmg(const FlowProblem& problem,
               const LinearProblem& linear);  // structured: outside cells are 1 u = 0

}  // namespace boxfettle::bench
