// The grid solver beside others, on one masked domain to one relative residual (Euclidean, 1e-8):
//   bench_gas_solver N THREADS [ours | boomeramg | pfmg | eigen]...
// Ours is set up and solved, then solved again with a vent shut, which pays no set-up. Every answer's true
// residual is taken here, by the same lines. In brackets the processor's seconds, all threads together: what
// is left to compare by when other work fills the machine.
#include <tbb/global_control.h>
#include <tbb/parallel_for.h>

#include <Eigen/IterativeLinearSolvers>
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

#include "hollow_ball.hpp"
#include "hypre_solvers.hpp"
#include "stopwatch.hpp"

using namespace boxfettle;
using bench::LinearProblem;

namespace {

class Watch {
 public:
  double seconds() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count();
  }
  double processor_seconds() const { return static_cast<double>(std::clock() - processor_) / CLOCKS_PER_SEC; }

 private:
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
  std::clock_t processor_ = std::clock();
};

double bandwidth_bytes_s() {
  const std::size_t count = 40'000'000;
  GridValues<float> a(count, 1), b(count, 2);
  double best = 0;
  for (int repeat = 0; repeat < 4; ++repeat) {
    const Watch watch;
    tbb::parallel_for(tbb::blocked_range<std::size_t>(0, count, 1 << 16), [&](const auto& part) {
      for (std::size_t i = part.begin(); i < part.end(); ++i) a[i] = 0.5f * a[i] + b[i];
    });
    best = std::max(best, 3.0 * sizeof(float) * count / watch.seconds());
  }
  return best;
}

std::size_t bytes_of(const StripGrid& grid) {
  return grid.strips.size() * sizeof(StripGrid::Strip) +
         (grid.slots.size() + grid.plane_start.size()) * sizeof(std::uint32_t);
}

void ours(const bench::FlowProblem& problem, const LinearProblem& linear) {
  FaceConductances faces = problem.faces();
  const Watch setting_up;
  GridSolver solver(problem.cells.grid, std::move(faces), problem.wells);
  const double setup_s = setting_up.seconds(), setup_processor_s = setting_up.processor_seconds();
  std::vector<double> u(problem.cells.grid.value_count(), 0.0);
  SolveSettings settings;
  settings.relative_residual = 1e-8;
  const Watch solving;
  const SolveReport report = solver.solve(problem.sources, u, settings);
  const double solve_s = solving.seconds(), solve_processor_s = solving.processor_seconds();
  std::vector<double> x;
  for (const std::uint32_t c : linear.cells) x.push_back(u[c]);
  const auto unknowns = static_cast<double>(linear.cells.size());
  std::printf(
      "ours        set-up %7.3f s (%.3f)  solve %7.3f s (%.3f)  %3d iterations  residual %.1e\n"
      "            %.1f bytes/unknown, with u and the grid %.1f\n",
      setup_s, setup_processor_s, solve_s, solve_processor_s, report.iterations, linear.relative_residual(x),
      static_cast<double>(solver.bytes()) / unknowns,
      static_cast<double>(solver.bytes() + u.size() * sizeof(double) + bytes_of(problem.cells.grid)) /
          unknowns);
  const double bound = report.iterations * solver.bytes_per_iteration() / bandwidth_bytes_s();
  std::printf(
      "            bytes moved over the measured bandwidth: %.3f s; the solve takes %.1f times that\n", bound,
      solve_s / bound);
  std::vector<Well> shut = problem.wells;
  shut[3].conductance = 0;
  const Watch again;
  solver.set_wells(shut);
  const SolveReport second = solver.solve(problem.sources, u, settings);
  std::printf("            one vent shut: %.3f s, %d iterations\n", again.seconds(), second.iterations);
}

void eigen(const LinearProblem& linear) {
  std::vector<Eigen::Triplet<double>> entries;
  for (std::size_t row = 0; row < linear.cells.size(); ++row)
    for (std::size_t e = linear.row_start[row]; e < linear.row_start[row + 1]; ++e)
      entries.emplace_back(static_cast<int>(row), static_cast<int>(linear.column[e]), linear.value[e]);
  const auto count = static_cast<Eigen::Index>(linear.cells.size());
  Eigen::SparseMatrix<double> a(count, count);
  a.setFromTriplets(entries.begin(), entries.end());
  entries = {};
  const Watch setting_up;
  Eigen::ConjugateGradient<Eigen::SparseMatrix<double>, Eigen::Lower | Eigen::Upper,
                           Eigen::IncompleteCholesky<double>>
      solver;
  solver.setTolerance(1e-8);
  solver.compute(a);
  const double setup_s = setting_up.seconds(), setup_processor_s = setting_up.processor_seconds();
  const Watch solving;
  const Eigen::VectorXd x = solver.solve(Eigen::Map<const Eigen::VectorXd>(linear.right.data(), count));
  const double solve_s = solving.seconds(), solve_processor_s = solving.processor_seconds();
  std::printf("Eigen CG+IC set-up %7.3f s (%.3f)  solve %7.3f s (%.3f)  %3d iterations  residual %.1e\n",
              setup_s, setup_processor_s, solve_s, solve_processor_s, static_cast<int>(solver.iterations()),
              linear.relative_residual({x.begin(), x.end()}));
}

void print(const char* name, const bench::OthersRun& run, const LinearProblem& linear) {
  std::printf("%-11s set-up %7.3f s  solve %7.3f s  %3d iterations  residual %.1e\n", name, run.setup_s,
              run.solve_s, run.iterations, linear.relative_residual(run.x));
}

}  // namespace

int main(int argc, char** argv) {
  const int n = argc > 1 ? std::atoi(argv[1]) : 128;
  const auto threads = static_cast<std::size_t>(argc > 2 ? std::atoi(argv[2]) : 1);
  std::vector<std::string> who(argv + std::min(argc, 3), argv + argc);
  if (who.empty()) who = {"ours", "boomeramg", "pfmg", "eigen"};
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
  const bench::FlowProblem problem = bench::hollow_ball(n);
  const LinearProblem linear = bench::linear_problem(problem);
  std::printf("%s, load %s; %d^3, %zu unknowns; ours on %zu thread(s), others on one\n",
              bench::processor().c_str(), bench::load_average().c_str(), n, linear.cells.size(), threads);
  const bench::HypreSession session;
  for (const std::string& solver : who) {
    if (solver == "ours") ours(problem, linear);
    if (solver == "boomeramg") print("BoomerAMG", bench::boomeramg(linear), linear);
    if (solver == "pfmg") print("PFMG", bench::pfmg(problem, linear), linear);
    if (solver == "eigen") eigen(linear);
    std::fflush(stdout);
  }
}
