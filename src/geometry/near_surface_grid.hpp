// A triangle near a point, roughly and quickly: for many questions from far away, where a tree is slow.
//
// Every corner of a coarse grid remembers the triangle whose middle is nearest to it, as told from corner to
// corner (after Danielsson, "Euclidean Distance Mapping", Computer Graphics and Image Processing 14, 1980); a
// point takes that of the corner nearest to it. The distance given is the true one to that triangle: never
// too small, and too large by no more than about the cell's diagonal and the triangles' own reach. Triangles
// should be smaller than cells.
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/closest_point.hpp"

namespace boxfettle {

class NearSurfaceGrid {
 public:
  // Covers the surface's bounds with `margin_mm` around; points outside use the border. `index`, of `mesh`,
  // must outlive the grid.
  NearSurfaceGrid(const TriangleMesh& mesh, const SurfaceIndex& index, double cell_mm, double margin_mm);

  std::vector<SurfaceHit> near(const PointCloud& cloud, const RigidPose& surface_from_cloud) const;

 private:
  void sow(const TriangleMesh& mesh);
  void tell_on(const TriangleMesh& mesh);
  std::size_t place_of(const Eigen::Vector3d& point_mm) const;

  const SurfaceIndex& index_;
  Eigen::Vector3d low_mm_;
  double cell_mm_;
  Eigen::Vector3i corners_;
  std::vector<std::uint32_t> nearest_;
};

}  // namespace boxfettle
