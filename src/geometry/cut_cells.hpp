// A solid on a grid of cubic cells, cut at its wall: how much of each cell, and of each face between cells,
// lies inside.
//
// The surface is sliced four times a layer of cells; in each slice the area inside every cell and the length
// inside along every edge are exact, so a plane wall across the slices is met exactly and any smooth wall
// with an error that falls with the square of the cell. Slices add up with their sign: overlapping shells
// count once, and no rounding can turn inside into outside.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "geometry/strip_grid.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

struct Lattice {
  Eigen::Vector3d low_mm;  // lowest corner of cell (0, 0, 0)
  double voxel_mm;
  std::array<int, 3> cells;

  Eigen::Vector3d centre_mm(const std::array<int, 3>& place) const {
    return low_mm + voxel_mm * Eigen::Vector3d(place[0] + 0.5, place[1] + 0.5, place[2] + 0.5);
  }
  std::array<int, 3> place_of(const Eigen::Vector3d& point_mm) const {
    const Eigen::Vector3d at = (point_mm - low_mm) / voxel_mm;
    const auto whole = [](double v) { return static_cast<int>(std::floor(std::clamp(v, -1e9, 1e9))); };
    return {whole(at.x()), whole(at.y()), whole(at.z())};
  }
};

// The cells that cover a mesh, centred on it with a little room around.
Lattice lattice_around(const TriangleMesh& mesh, double voxel_mm);

struct CutCells {
  Lattice lattice;
  StripGrid grid;
  std::vector<float> volume;                   // part of the cell inside, 0..1; 0 outside
  std::array<std::vector<float>, 3> aperture;  // part of the face towards +x, +y, +z inside; 0 next to none

  std::size_t cell_count() const;  // with a volume above 0
  double volume_mm3() const;
};

// `mesh` closed and outward; what of it lies outside the lattice is not seen. A cell less than a thousandth
// full counts as outside. The same for any number of threads.
CutCells cut_cells(const TriangleMesh& mesh, const Lattice& lattice);

}  // namespace boxfettle
