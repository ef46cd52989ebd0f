// The connected piece of a surface round a place on it.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle::demo {

struct SurfacePatch {
  Eigen::Vector3d centre_mm;         // on the surface
  std::vector<bool> holds_triangle;  // one per triangle of the mesh
};

// Centre: the surface point nearest to `near_mm`. Triangles: those within `radius_mm` of it that the surface
// joins to it without leaving that ball, so that the far side of a thin wall is not among them.
SurfacePatch surface_patch(const TriangleMesh& mesh, const Eigen::Vector3d& near_mm, double radius_mm);

}  // namespace boxfettle::demo
