// The surface of a solid given as a function: negative inside, positive outside, zero on the surface.
//
// Method: dual contouring on a regular grid, one vertex for each sheet of surface through a cell, each vertex
// drawn onto the surface by Newton steps along the gradient. The mesh is closed and manifold for any field of
// signs: a cell crossed by two sheets gets two vertices, and where an ambiguous face would still tie two
// sheets into one edge the face is read the other way round (Wenger, Isosurfaces: Geometry, Topology and
// Algorithms, 2013, chapter 3). Where the solid is smooth over a cell, the error of volume and area falls
// with the square of the cell.
#pragma once

#include <Eigen/Core>
#include <functional>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

using ImplicitSolid = std::function<double(const Eigen::Vector3d&)>;  // called from several threads at once

struct ImplicitMeshSettings {
  double cell_mm = 1.0;
  // No two places differ in the function by more than this times their distance (1 for a true distance). Lets
  // whole blocks far from the surface be skipped; 0 = not known, look everywhere.
  double steepest_slope = 0;
  int newton_steps = 4;  // 0 leaves each vertex at the mean of its crossings
};

// `within` is where to look; a solid that reaches its edge is closed there. Outward triangles, the same for
// any number of threads. Memory: about 9 bytes a cell of `within`. Throws std::invalid_argument when `within`
// is empty, cell_mm is not above 0 or the grid has more than 1e9 cells.
TriangleMesh mesh_of_implicit(const ImplicitSolid& solid, const Bounds& within,
                              const ImplicitMeshSettings& settings = {});

}  // namespace boxfettle
