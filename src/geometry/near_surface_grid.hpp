// A triangle near a point, roughly and quickly: for many questions from far away, where a tree is slow.
//
// Every corner of a coarse grid remembers the triangle whose first corner is nearest to it, as told from one
// to the next (after Danielsson, "Euclidean Distance Mapping", Computer Graphics and Image Processing 14,
// 1980); a point takes that of the corner nearest to it. That triangle is further off than the nearest by no
// more than about the cell's diagonal and the triangles' own size. Triangles should be smaller than cells.
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

class NearSurfaceGrid {
 public:
  // Covers the surface's bounds with `margin_mm` around; points outside use the border. Cells are as large as
  // asked, or larger where there would be more than eight million.
  NearSurfaceGrid(const TriangleMesh& mesh, double cell_mm, double margin_mm);

  std::uint32_t triangle_near(const Eigen::Vector3d& point_mm) const { return nearest_[place_of(point_mm)]; }

 private:
  struct Known;  // of each corner, while the grid is made
  void sow(const TriangleMesh& mesh, std::vector<Known>& known) const;
  void tell_on(std::vector<Known>& known) const;
  std::size_t place_of(const Eigen::Vector3d& point_mm) const;

  Eigen::Vector3d low_mm_;  // of the corners; round them lies one more layer, of corners without a triangle
  double cell_mm_;
  Eigen::Array3i corners_, stride_;
  std::vector<std::uint32_t> nearest_;
};

}  // namespace boxfettle
