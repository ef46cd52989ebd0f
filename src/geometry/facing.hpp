// Neighbouring triangles that agree which side of the surface is outside.
#pragma once

#include <cstddef>
#include <optional>

#include "geometry/mesh_topology.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// Turns the triangles that face against their neighbours, the fewer of each connected piece, and says how
// many they were. Nothing is turned and nothing returned when it cannot be done: a one-sided surface. Whether
// the whole then faces out or in is another question (enclosed_volume_mm3).
std::optional<std::size_t> agree_on_facing(TriangleMesh& mesh, const MeshTopology& topology);

}  // namespace boxfettle
