// The nearest place on a surface, and on which side of it a point lies.
//
// A binary tree of boxes over the triangles (surface area heuristic in bins), leaves of up to eight. The sign
// comes from angle-weighted pseudo-normals, which is exact for a closed surface: Baerentzen and Aanaes,
// "Signed Distance Computation Using the Angle Weighted Pseudonormal", IEEE TVCG 11 (2005).
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "geometry/mesh_topology.hpp"
#include "geometry/point_cloud.hpp"
#include "geometry/rigid_pose.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

struct SurfacePoint {
  Eigen::Vector3d at_mm;
  double signed_mm;  // distance; positive outside
  std::uint32_t triangle;
};

struct SurfaceHit {
  float signed_mm = 0;
  std::uint32_t triangle = no_triangle;
};

class SurfaceIndex {
 public:
  // `mesh` must outlive the index and have at least one triangle.
  explicit SurfaceIndex(const TriangleMesh& mesh);
  ~SurfaceIndex();
  SurfaceIndex(SurfaceIndex&&) noexcept;
  SurfaceIndex& operator=(SurfaceIndex&&) noexcept;

  SurfacePoint closest(const Eigen::Vector3d& point_mm) const;

  // Every point of the cloud, moved by `surface_from_cloud` first. In the cloud's order; on all threads; the
  // result does not depend on their number. `signed_mm` is rounded to float at the end, from double.
  std::vector<SurfaceHit> closest(const PointCloud& cloud, const RigidPose& surface_from_cloud) const;

  const MeshTopology& topology() const;
  const std::vector<Eigen::Vector3f>& triangle_normals() const;  // unit; zero for a triangle without area

 private:
  struct Tree;
  std::unique_ptr<Tree> tree_;
};

}  // namespace boxfettle
