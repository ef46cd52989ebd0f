// The same surface in Embree 3, asked with rtcPointQuery: unsigned distances, in float.
#pragma once

#include <memory>
#include <vector>

#include "geometry/point_cloud.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle::bench {

class EmbreeSurface {
 public:
  EmbreeSurface(const TriangleMesh& mesh, int build_threads);
  ~EmbreeSurface();
  EmbreeSurface(EmbreeSurface&&) noexcept;
  EmbreeSurface& operator=(EmbreeSurface&&) noexcept;

  // On the threads of the calling TBB arena.
  std::vector<float> distances_mm(const PointCloud& cloud) const;

 private:
  struct Scene;
  std::unique_ptr<Scene> scene_;
};

}  // namespace boxfettle::bench
