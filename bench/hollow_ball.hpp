// A domain for solvers to be timed on: a hollow ball of packed sand with an inlet on top and vents all over.
#pragma once

#include <vector>

#include "flow/grid_solver.hpp"
#include "geometry/cut_cells.hpp"

namespace boxfettle::bench {

struct FlowProblem {
  CutCells cells;
  std::vector<Well> wells;
  std::vector<Source> sources;

  FaceConductances faces() const;
};

// `n` cells across: about 0.31 n^3 unknowns.
FlowProblem hollow_ball(int n);

}  // namespace boxfettle::bench
