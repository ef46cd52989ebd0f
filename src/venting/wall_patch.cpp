#include "venting/wall_patch.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>

#include "flow/grid_solver.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;

struct Frame {
  Vector3d along, across;
};

Frame frame_of(const WallDisc& disc) {
  const Vector3d along = disc.inward.unitOrthogonal();
  return {along, disc.inward.cross(along)};
}

// Where a point of the disc lies in the cavity: in its own cell, or one further in when the wall bends.
std::uint32_t cell_under(const CutCells& cavity, const Vector3d& on_disc, const Vector3d& inward) {
  for (const double depth : {0.25, 0.75, 1.25, 1.75}) {
    const auto at = cavity.lattice.place_of(on_disc + depth * cavity.lattice.voxel_mm * inward);
    const std::uint32_t cell = cavity.grid.cell(at[0], at[1], at[2]);
    if (cell != StripGrid::no_cell && cavity.volume[cell] > 0) return cell;
  }
  return StripGrid::no_cell;
}

// The share of the disc over each cell, by points of equal area in a sunflower's order.
std::map<std::uint32_t, double> shares(const CutCells& cavity, const WallDisc& disc) {
  const double voxels = disc.radius_mm / cavity.lattice.voxel_mm;
  const int points = static_cast<int>(std::clamp(200 * voxels * voxels, 200.0, 20000.0));
  const double turn = std::numbers::pi * (3 - std::sqrt(5.0));
  const Frame frame = frame_of(disc);
  std::map<std::uint32_t, double> shares;
  for (int i = 0; i < points; ++i) {
    const double r = disc.radius_mm * std::sqrt((i + 0.5) / points);
    const Vector3d on_disc =
        disc.at_mm + r * (std::cos(i * turn) * frame.along + std::sin(i * turn) * frame.across);
    const std::uint32_t cell = cell_under(cavity, on_disc, disc.inward);
    if (cell != StripGrid::no_cell) shares[cell] += 1.0 / points;
  }
  return shares;
}

// The disc at 1, far away at 0 (Weber 1873): where `depth` is the distance from the wall, `off` from the
// axis.
double field_of_disc(double off, double depth, double radius) {
  const double near = std::hypot(off - radius, depth), far = std::hypot(off + radius, depth);
  return 2 / std::numbers::pi * std::asin(std::min(1.0, 2 * radius / (near + far)));
}

// A block whose top is the wall, turned into the disc's direction, larger than the grid around it.
TriangleMesh flat_wall(const WallDisc& disc, double reach_mm) {
  const Frame frame = frame_of(disc);
  TriangleMesh mesh;
  for (int c = 0; c < 8; ++c) {
    const double x = (c & 1) != 0 ? reach_mm : -reach_mm, y = (c & 2) != 0 ? reach_mm : -reach_mm;
    const double z = (c & 4) != 0 ? 2 * reach_mm : 0;
    mesh.vertices.push_back(disc.at_mm + x * frame.along + y * frame.across + z * disc.inward);
  }
  // along x across = inward, so the corners count like those of an axis-parallel block.
  mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                    {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return mesh;
}

// A small piece of flat wall around a disc, with the voxels where the cavity has them.
class FlatWall {
 public:
  FlatWall(const CutCells& cavity, const WallDisc& disc, int reach)
      : disc_(disc), cells_(around(cavity, disc, reach)), shares_(shares(cells_, disc)) {
    pin_border();
    FaceConductances faces;
    for (std::size_t axis = 0; axis < 3; ++axis)
      faces[axis].assign(cells_.aperture[axis].begin(), cells_.aperture[axis].end());
    solver_.emplace(cells_.grid, std::move(faces), border_);
    u_.assign(cells_.grid.value_count(), 0.0);
  }

  bool has_cells() const { return !shares_.empty(); }

  // What flows through the disc at 1 when every cell's share is worth `factor`, in units of k times the
  // voxel.
  double flow(double factor) {
    std::vector<Well> wells = border_;
    std::vector<Source> sources = border_sources_;
    for (const auto& [cell, share] : shares_) {
      wells.push_back({cell, factor * share});
      sources.push_back({cell, factor * share});
    }
    solver_->set_wells(std::move(wells));
    solver_->solve(sources, u_, {1e-6, 100});
    double flow = 0;
    for (const auto& [cell, share] : shares_) flow += factor * share * (1 - u_[cell]);
    return flow;
  }

 private:
  static CutCells around(const CutCells& cavity, const WallDisc& disc, int reach) {
    const Lattice& lattice = cavity.lattice;
    const auto middle = lattice.place_of(disc.at_mm);
    Lattice local = lattice;
    for (std::size_t k = 0; k < 3; ++k) {
      local.low_mm[static_cast<Eigen::Index>(k)] += (middle[k] - reach) * lattice.voxel_mm;
      local.cells[k] = 2 * reach + 1;
    }
    CutCells cells = cut_cells(flat_wall(disc, 4.0 * reach * lattice.voxel_mm), local);
    reach_ignored(cells, local);
    return cells;
  }

  // Cells that were only added to fill a strip would stand outside the pinned border.
  static void reach_ignored(CutCells& cells, const Lattice& local) {
    for (std::uint32_t c = 0; c < cells.grid.value_count(); ++c) {
      if (cells.volume[c] == 0) continue;
      const int x = cells.grid.place(c)[0];
      if (x >= local.cells[0]) cells.volume[c] = 0;
      for (std::size_t axis = 0; axis < 3; ++axis)
        if (x >= local.cells[0] || (axis == 0 && x + 1 >= local.cells[0])) cells.aperture[axis][c] = 0;
    }
    cells.lattice.cells = local.cells;
  }

  void pin_border() {
    const auto& size = cells_.lattice.cells;
    for (std::uint32_t c = 0; c < cells_.grid.value_count(); ++c) {
      if (cells_.volume[c] == 0) continue;
      const auto at = cells_.grid.place(c);
      bool border = false;
      for (std::size_t k = 0; k < 3; ++k) border = border || at[k] == 0 || at[k] + 1 == size[k];
      if (!border) continue;
      constexpr double pinned = 1e4;
      const Vector3d from = cells_.lattice.centre_mm(at) - disc_.at_mm;
      const double depth = from.dot(disc_.inward);
      const double off = (from - depth * disc_.inward).norm();
      border_.push_back({c, pinned});
      border_sources_.push_back({c, pinned * field_of_disc(off, std::max(depth, 0.0), disc_.radius_mm)});
    }
  }

  WallDisc disc_;
  CutCells cells_;
  std::map<std::uint32_t, double> shares_;
  std::vector<Well> border_;
  std::vector<Source> border_sources_;
  std::optional<GridSolver> solver_;
  std::vector<double> u_;
};

// The factor with which a flat wall passes what a disc passes. The flow grows with it and levels off.
double shape_factor(const CutCells& cavity, const WallDisc& disc) {
  const double radius = disc.radius_mm / cavity.lattice.voxel_mm;
  const double wanted = 4 * radius;
  // Beyond this the cells are thin beside the disc, and half a voxel of sand before it is what they lack.
  constexpr double large = 10;
  if (radius > large) return 2 * std::numbers::pi * radius * radius;
  FlatWall wall(cavity, disc, static_cast<int>(std::ceil(1.6 * radius)) + 6);
  if (!wall.has_cells()) return wanted;
  double low = wanted, high = wanted;
  while (wall.flow(high) < wanted && high < 1e6 * wanted) high *= 4;
  for (int i = 0; i < 30 && high / low > 1 + 1e-5; ++i) {
    const double middle = std::sqrt(low * high);
    (wall.flow(middle) < wanted ? low : high) = middle;
  }
  return std::sqrt(low * high);
}

}  // namespace

std::vector<PatchCell> wall_patch(const CutCells& cavity, const WallDisc& disc) {
  const auto by_cell = shares(cavity, disc);
  std::vector<PatchCell> cells;
  if (by_cell.empty()) return cells;
  const double factor = shape_factor(cavity, disc);
  for (const auto& [cell, share] : by_cell) cells.push_back({cell, factor * share});
  return cells;
}

}  // namespace boxfettle
