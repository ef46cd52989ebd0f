// The nearest place on a surface, and on which side of it a point lies.
//
// A binary tree of boxes over the triangles (surface area heuristic in bins), leaves of up to eight. The sign
// comes from angle-weighted pseudo-normals, which is exact for a closed surface: Baerentzen and Aanaes,
// "Signed Distance Computation Using the Angle Weighted Pseudonormal", IEEE TVCG 11 (2005).
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <limits>
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
  float signed_mm = 0;                   // infinite when nothing was within reach
  std::uint32_t triangle = no_triangle;  // then none either
};

class SurfaceIndex {
 public:
  // `mesh` must outlive the index and have at least one triangle.
  explicit SurfaceIndex(const TriangleMesh& mesh);
  SurfaceIndex(const TriangleMesh& mesh, MeshTopology topology);  // for who has the mesh's topology already
  ~SurfaceIndex();
  SurfaceIndex(SurfaceIndex&&) noexcept;
  SurfaceIndex& operator=(SurfaceIndex&&) noexcept;

  SurfacePoint closest(const Eigen::Vector3d& point_mm) const;

  // Every point of the cloud, moved by `surface_from_cloud` first; in the cloud's order, on all threads. The
  // nearest triangle is sought in float for packets of neighbouring points and the distance then computed in
  // double. Fastest when neighbours in the list are neighbours in space (morton_order.hpp). The same whatever
  // the number of threads. Who needs no answer further off than `reach_mm` is served much sooner by saying
  // so.
  std::vector<SurfaceHit> closest(const PointCloud& cloud, const RigidPose& surface_from_cloud,
                                  double reach_mm = std::numeric_limits<double>::infinity()) const;

  // The place nearest to a point on one triangle, whether or not that is the nearest triangle.
  Eigen::Vector3d nearest_on(std::uint32_t triangle, const Eigen::Vector3d& point_mm) const;

  const MeshTopology& topology() const;
  const std::vector<Eigen::Vector3f>& triangle_normals() const;  // unit; zero for a triangle without area

 private:
  struct Tree;
  std::unique_ptr<Tree> tree_;
};

}  // namespace boxfettle
