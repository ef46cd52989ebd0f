// Triangles that cannot be part of a surface, taken out.
#pragma once

#include "geometry/surface_file.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// Drops triangles without area and repeats of a triangle (same vertices, same way round). What is left keeps
// its order.
MeshFlaws drop_flawed_triangles(TriangleMesh& mesh);

// Drops vertices that no triangle uses, those of dropped triangles among them: a stray one would stretch the
// bounds.
void drop_unused_vertices(TriangleMesh& mesh);

}  // namespace boxfettle
