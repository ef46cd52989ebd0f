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

}  // namespace boxfettle::bench
