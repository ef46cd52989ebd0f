#include "hollow_ball.hpp"

#include <cmath>

#include "geometry/implicit_mesh.hpp"

namespace boxfettle::bench {

using Eigen::Vector3d;

FaceConductances FlowProblem::faces() const {
  FaceConductances faces;
  for (std::size_t axis = 0; axis < 3; ++axis)
    faces[axis].assign(cells.aperture[axis].begin(), cells.aperture[axis].end());
  return faces;
}

FlowProblem hollow_ball(int n) {
  const double outer = 0.48 * n, inner = 0.33 * n;
  Bounds room;
  room.include(Vector3d::Constant(-0.5 * n));
  room.include(Vector3d::Constant(0.5 * n));
  ImplicitMeshSettings settings;
  settings.cell_mm = std::max(1.0, n / 100.0);
  settings.steepest_slope = 1;
  const TriangleMesh mesh = mesh_of_implicit(
      [&](const Vector3d& p) { return std::max(p.norm() - outer, inner - p.norm()); }, room, settings);
  FlowProblem problem{cut_cells(mesh, {room.low, 1.0, {n, n, n}}), {}, {}};
  const auto well_near = [&](Vector3d direction, double conductance, double pressure) {
    const auto at = problem.cells.lattice.place_of(direction.normalized() * (outer - 1.5));
    const std::uint32_t cell = problem.cells.grid.cell(at[0], at[1], at[2]);
    problem.wells.push_back({cell, conductance});
    problem.sources.push_back({cell, conductance * pressure});
  };
  well_near({0.02, 0.01, 1}, 2, 1);
  for (int k = 0; k < 12; ++k) well_near({std::cos(k * 2.4), std::sin(k * 2.4), 0.8 - k * 0.15}, 1, 0);
  return problem;
}

LinearProblem linear_problem(const FlowProblem& problem) {
  const StripGrid& grid = problem.cells.grid;
  LinearProblem linear;
  std::vector<std::uint32_t> row(grid.value_count(), 0);
  for (int z = 0; z < grid.cells[2]; ++z)
    for (int y = 0; y < grid.cells[1]; ++y)
      for (int x = 0; x < grid.cells[0]; ++x) {
        const std::uint32_t c = grid.cell(x, y, z);
        if (c == StripGrid::no_cell || problem.cells.volume[c] == 0) continue;
        row[c] = static_cast<std::uint32_t>(linear.cells.size());
        linear.cells.push_back(c);
      }
  std::vector<double> well(grid.value_count(), 0.0), source(grid.value_count(), 0.0);
  for (const Well& w : problem.wells) well[w.cell] += w.conductance;
  for (const Source& s : problem.sources) source[s.cell] += s.rate;
  linear.row_start.push_back(0);
  for (const std::uint32_t c : linear.cells) {
    double diagonal = well[c];
    const std::size_t first = linear.column.size();
    linear.column.push_back(row[c]);
    linear.value.push_back(0);
    for (const StripGrid::Face& face : grid.faces(c)) {
      const auto g =
          static_cast<double>(problem.cells.aperture[static_cast<std::size_t>(face.axis)][face.holder]);
      if (g == 0) continue;
      diagonal += g;
      linear.column.push_back(row[face.other]);
      linear.value.push_back(-g);
    }
    // A sliver without any open face stands alone.
    linear.value[first] = diagonal > 0 ? diagonal : 1;
    linear.right.push_back(source[c]);
    linear.row_start.push_back(linear.column.size());
  }
  return linear;
}

double LinearProblem::relative_residual(const std::vector<double>& x) const {
  double left = 0, all = 0;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    double r = right[i];
    for (std::size_t e = row_start[i]; e < row_start[i + 1]; ++e) r -= value[e] * x[column[e]];
    left += r * r;
    all += right[i] * right[i];
  }
  return std::sqrt(left / all);
}

}  // namespace boxfettle::bench
