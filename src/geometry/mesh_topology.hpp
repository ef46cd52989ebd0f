// Which triangles share an edge, and whether the surface closes. Needed to tell inside from outside.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

inline constexpr std::uint32_t no_triangle = 0xffffffffu;

struct MeshTopology {
  // neighbours[t][e]: the triangle across the edge from corner e to corner e + 1, or no_triangle.
  std::vector<std::array<std::uint32_t, 3>> neighbours;
  std::size_t open_edges = 0;     // one triangle only
  std::size_t crowded_edges = 0;  // three triangles or more: paired off as far as possible
  std::size_t contradicting_edges =
      0;  // two triangles that run along it in the same direction (one of them is flipped)

  bool closed() const { return open_edges == 0; }
  bool consistent() const { return crowded_edges == 0 && contradicting_edges == 0; }
};

MeshTopology mesh_topology(const TriangleMesh& mesh);

}  // namespace boxfettle
