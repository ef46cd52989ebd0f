// Solids whose measures have closed forms, for tests.
#pragma once

#include <cstdint>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle::demo {

// An axis-parallel block with its low corner at `low_mm`: 8 vertices, two triangles a face, outward.
TriangleMesh block(const Eigen::Vector3d& size_mm, const Eigen::Vector3d& low_mm = {0, 0, 0});

// `more` beside `mesh`, in one mesh.
void add(TriangleMesh& mesh, const TriangleMesh& more);

}  // namespace boxfettle::demo
