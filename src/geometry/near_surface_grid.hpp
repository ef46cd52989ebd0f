// The nearest triangle, roughly and quickly: for many questions from far away, where a tree is slow.
//
// Every corner of a coarse grid remembers its own nearest triangle; a point takes that of the corner nearest
// to it. The distance given is the true one to that triangle, so it is never too small, and too large by no
// more than the cell's diagonal.
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/closest_point.hpp"

namespace boxfettle {

class NearSurfaceGrid {
 public:
  // Covers the surface's bounds with `margin_mm` around; points outside use the border. `index` must outlive
  // the grid.
  NearSurfaceGrid(const SurfaceIndex& index, const Bounds& surface, double cell_mm, double margin_mm);

  std::vector<SurfaceHit> near(const PointCloud& cloud, const RigidPose& surface_from_cloud) const;

 private:
  std::uint32_t triangle_near(const Eigen::Vector3d& point_mm) const;

  const SurfaceIndex& index_;
  Eigen::Vector3d low_mm_;
  double cell_mm_;
  Eigen::Vector3i corners_;
  std::vector<std::uint32_t> nearest_;
};

}  // namespace boxfettle
