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

// The same equations as rows of a matrix, for solvers that want one.
struct LinearProblem {
  std::vector<std::uint32_t> cells;  // of each row
  std::vector<std::size_t> row_start;
  std::vector<std::uint32_t> column;
  std::vector<double> value;
  std::vector<double> right;

  double relative_residual(const std::vector<double>& x) const;
};
LinearProblem linear_problem(const FlowProblem& problem);

}  // namespace boxfettle::bench
