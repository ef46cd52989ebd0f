// The same surface in CGAL's AABB tree: unsigned distances, in double, on the calling thread.
#pragma once

#include <memory>
#include <vector>

#include "geometry/point_cloud.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle::bench {

class CgalSurface {
 public:
  explicit CgalSurface(const TriangleMesh& mesh);
  ~CgalSurface();
  CgalSurface(CgalSurface&&) noexcept;
  CgalSurface& operator=(CgalSurface&&) noexcept;

  std::vector<double> distances_mm(const PointCloud& cloud) const;

 private:
  struct Tree;
  std::unique_ptr<Tree> tree_;
};

}  // namespace boxfettle::bench
