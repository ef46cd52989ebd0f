// The grid solver beside others, on one masked domain to one true relative residual.
#include <tbb/global_control.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "hollow_ball.hpp"

using namespace boxfettle;

namespace {

class Watch {
 public:
  double seconds() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count();
  }

 private:
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

}  // namespace

int main(int argc, char** argv) {
  const int n = argc > 1 ? std::atoi(argv[1]) : 128;
  const auto threads = static_cast<std::size_t>(argc > 2 ? std::atoi(argv[2]) : 1);
  tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
  const bench::FlowProblem problem = bench::hollow_ball(n);
  const auto unknowns = problem.cells.cell_count();
  FaceConductances faces = problem.faces();
  std::printf("%zu unknowns in %zu strips\n", unknowns, problem.cells.grid.strips.size());
  const Watch setup;
  GridSolver solver(problem.cells.grid, std::move(faces), problem.wells);
  const double setup_s = setup.seconds();
  std::vector<double> u(problem.cells.grid.value_count(), 0.0);
  SolveSettings settings;
  settings.relative_residual = 1e-8;
  const Watch solving;
  const SolveReport report = solver.solve(problem.sources, u, settings);
  const double solve_s = solving.seconds();
  std::printf("set-up %.3f s, solve %.3f s, %d iterations, residual %.2e, %.1f B/unknown\n", setup_s, solve_s,
              report.iterations, report.relative_residual,
              static_cast<double>(solver.bytes()) / static_cast<double>(unknowns));
}
