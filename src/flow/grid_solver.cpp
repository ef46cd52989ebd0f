#include "flow/grid_solver.hpp"

#include <algorithm>
#include <cmath>

#include "flow/grid_levels.hpp"
#include "flow/plane_waves.hpp"

namespace boxfettle {
namespace {

// How far the single-precision iteration may run on one true residual: past this its own rounding shows.
constexpr double inner_reduction = 1e-5;

double total(const std::vector<double>& of_planes) {
  double sum = 0;
  for (const double value : of_planes) sum += value;
  return sum;
}

}  // namespace

struct GridSolver::Levels : GridLevels {
  Levels(const StripGrid& grid, FaceConductances faces, std::vector<Well> wells)
      : GridLevels(grid, std::move(faces), std::move(wells)),
        r(grid.value_count(), 0),
        z(grid.value_count(), 0),
        p(grid.value_count(), 0) {}

  GridValues<float> r, z, p;  // A p takes the room of z, which is used up by then

  double residual_norm(const double* b, std::span<const Source> sources, std::span<double> u);
  double right_hand_norm(const double* b, std::span<const Source> sources) const;
  int iterate(double norm, double goal, int most, std::span<double> u);
  SolveReport solve(const double* b, std::span<const Source> sources, std::span<double> u,
                    const SolveSettings& settings);
};

// r = b - A u, everything of one cell added up in double before it is rounded.
double GridSolver::Levels::residual_norm(const double* b, std::span<const Source> sources,
                                         std::span<double> u) {
  const GridLevel& level = fine();
  const OperatorView a = level.view();
  sweep_planes(level.planes(), 1,
               [&](int, int plane) { true_residual(a, level.plane(plane), b, u.data(), r.data()); });
  std::vector<std::pair<std::uint32_t, double>> extra;
  for (const Source& source : sources) extra.emplace_back(source.cell, source.rate);
  for (const Well& well : level.wells) extra.emplace_back(well.cell, -well.conductance * u[well.cell]);
  std::stable_sort(extra.begin(), extra.end(),
                   [](const auto& l, const auto& m) { return l.first < m.first; });
  for (std::size_t i = 0; i < extra.size();) {
    const std::uint32_t c = extra[i].first;
    double sum = b != nullptr ? b[c] : 0;
    for (const StripGrid::Face& face : level.grid->faces(c))
      sum += static_cast<double>(level.faces[static_cast<std::size_t>(face.axis)][face.holder]) *
             (u[face.other] - u[c]);
    for (; i < extra.size() && extra[i].first == c; ++i) sum += extra[i].second;
    r[c] = static_cast<float>(sum);
  }
  std::vector<double> squares(static_cast<std::size_t>(level.planes()));
  sweep_planes(level.planes(), 1, [&](int, int plane) {
    squares[static_cast<std::size_t>(plane)] = dot(level.view(), level.plane(plane), r.data(), r.data());
  });
  return std::sqrt(total(squares));
}

double GridSolver::Levels::right_hand_norm(const double* b, std::span<const Source> sources) const {
  std::vector<std::pair<std::uint32_t, double>> by_cell;
  for (const Source& source : sources) by_cell.emplace_back(source.cell, source.rate);
  std::stable_sort(by_cell.begin(), by_cell.end(),
                   [](const auto& l, const auto& m) { return l.first < m.first; });
  double squares = 0;
  for (std::size_t i = 0; i < by_cell.size();) {
    double sum = 0;
    const std::uint32_t c = by_cell[i].first;
    for (; i < by_cell.size() && by_cell[i].first == c; ++i) sum += by_cell[i].second;
    squares += sum * sum;
  }
  if (b != nullptr)
    for (std::size_t c = 0; c < fine().grid->value_count(); ++c) squares += b[c] * b[c];
  return std::sqrt(squares);
}

// Conjugate gradients on A e = r, r scaled to length 1, until it is below `goal`; u += norm e on the way.
int GridSolver::Levels::iterate(double norm, double goal, int most, std::span<double> u) {
  const GridLevel& level = fine();
  const OperatorView a = level.view();
  const int planes = level.planes();
  float* const q = z.data();
  const auto scale = static_cast<float>(1 / norm);
  for (float& value : r) value *= scale;
  std::fill(p.begin(), p.end(), 0.0f);
  std::vector<double> sums(static_cast<std::size_t>(planes));
  double last_product = 0;
  for (int n = 0; n < most; ++n) {
    const double product = cycle(r.data(), z.data());
    const auto beta = static_cast<float>(n == 0 ? 0 : product / last_product);
    last_product = product;
    sweep_planes(planes, 2, [&](int stage, int plane) {
      const SlotRun run = level.plane(plane);
      if (stage == 0) step_direction(a, run, z.data(), beta, p.data());
      // Behind the direction: z of this plane has been used.
      if (stage == 1) sums[static_cast<std::size_t>(plane)] = apply(a, run, p.data(), q);
    });
    double curvature = total(sums);
    for (const Well& well : level.wells) {
      const auto g = static_cast<float>(well.conductance);
      q[well.cell] += g * p[well.cell];
      curvature += static_cast<double>(g * p[well.cell] * p[well.cell]);
    }
    if (!(curvature > 0) || !(product > 0)) return n;
    const double alpha = product / curvature;
    sweep_planes(planes, 1, [&](int, int plane) {
      sums[static_cast<std::size_t>(plane)] = advance(a, level.plane(plane), alpha * norm, p.data(), u.data(),
                                                      static_cast<float>(alpha), q, r.data());
    });
    if (std::sqrt(total(sums)) <= goal) return n + 1;
  }
  return most;
}

SolveReport GridSolver::Levels::solve(const double* b, std::span<const Source> sources, std::span<double> u,
                                      const SolveSettings& settings) {
  SolveReport report;
  const double size = right_hand_norm(b, sources);
  if (size == 0) {
    std::fill(u.begin(), u.end(), 0.0);
    return {true, 0, 0};
  }
  double best = 0;
  for (;;) {
    const double norm = residual_norm(b, sources, u);
    report.relative_residual = norm / size;
    report.converged = report.relative_residual <= settings.relative_residual;
    const bool stuck = report.iterations > 0 && norm > 0.5 * best;
    if (report.converged || stuck || report.iterations >= settings.most_iterations) return report;
    best = norm;
    const double goal = std::max(0.5 * settings.relative_residual * size / norm, inner_reduction);
    report.iterations += iterate(norm, goal, settings.most_iterations - report.iterations, u);
  }
}

GridSolver::GridSolver(const StripGrid& grid, FaceConductances faces, std::vector<Well> wells)
    : levels_(std::make_unique<Levels>(grid, std::move(faces), std::move(wells))) {}
GridSolver::~GridSolver() = default;
GridSolver::GridSolver(GridSolver&&) noexcept = default;

void GridSolver::set_wells(std::vector<Well> wells) {
  levels_->set_wells(std::move(wells));
}
void GridSolver::set_faces(FaceConductances faces) {
  levels_->set_faces(std::move(faces));
}
const FaceConductances& GridSolver::faces() const {
  return levels_->fine().faces;
}
FaceConductances GridSolver::take_faces() {
  return levels_->take_faces();
}

SolveReport GridSolver::solve(std::span<const Source> sources, std::span<double> u,
                              const SolveSettings& settings) {
  return levels_->solve(nullptr, sources, u, settings);
}

SolveReport GridSolver::solve(std::span<const double> right_hand_side, std::span<double> u,
                              const SolveSettings& settings) {
  return levels_->solve(right_hand_side.data(), {}, u, settings);
}

std::size_t GridSolver::bytes() const {
  std::size_t bytes = sizeof(float) * (3 * levels_->r.size() + levels_->sums_room());
  for (const GridLevel& level : levels_->levels()) {
    bytes += sizeof(float) * (level.faces[0].size() * 3 + level.inverse.size());
    bytes += sizeof(float) * (level.u.size() + level.f.size());
    if (&level != &levels_->fine())
      bytes += level.grid->strips.size() * sizeof(StripGrid::Strip) +
               level.grid->slots.size() * sizeof(std::uint32_t);
  }
  return bytes;
}

// Fine grid: down reads f and 4 arrays of the operator, writes u (24); up the same and reads u (28);
// direction and product: reads z, p and 3 faces, writes p and q (28); advance: p, u in double, q, r (36 with
// writes). A coarser grid: down and up (52), its sums and right-hand side (40).
double GridSolver::bytes_per_iteration() const {
  double bytes = 0;
  for (const GridLevel& level : levels_->levels()) {
    const auto cells = static_cast<double>(level.grid->strips.size() * 16);
    bytes += cells * (&level == &levels_->fine() ? 24 + 28 + 28 + 36 : 52 + 40);
  }
  return bytes;
}

}  // namespace boxfettle
