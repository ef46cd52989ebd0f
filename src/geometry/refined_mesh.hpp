// The same surface in smaller triangles.
#pragma once

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// Halves every edge longer than `edge_mm`, again and again, until none is left or the count would pass
// `most_triangles`. Nothing moves: new vertices lie on the old edges, and a closed surface stays closed.
TriangleMesh refined_mesh(TriangleMesh mesh, double edge_mm, std::size_t most_triangles);

}  // namespace boxfettle
