// The nearest triangle for a handful of neighbouring points at once: one descent of the tree serves them all.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "geometry/box_tree.hpp"
#include "geometry/mesh_topology.hpp"
#include "geometry/packet_points.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// A triangle in its own frame: u along its first edge, v in its plane, w along its normal, from the centre of
// the leaf it stands in. Its corners are then (0, 0), (length, 0), (apex_u, apex_v) and a point's distance is
// a sum of two squares.
struct FramedTriangle {
  float row_u[3], row_v[3], row_w[3];
  float base_u, base_v, base_w;  // of the first corner
  float length, apex_u, apex_v;
  float inverse_side1, inverse_side2;  // 1 / squared length of the edges from corner 1 to 2 and from 0 to 2
};

// Laid out for search: triangles in leaf order and the leaf's centre, to which points are made relative
// before anything is rounded to float. That keeps the float search good to about a ten-millionth of the
// leaf's own size.
struct PacketTree {
  std::vector<FramedTriangle> triangles;      // as BoxTree::order
  std::vector<std::array<float, 3>> centres;  // of each leaf's box, by node
  std::vector<std::uint32_t> leaf_of;         // the node each triangle stands in
};

PacketTree packet_tree(const TriangleMesh& mesh, const BoxTree& boxes);

// For each point the place in BoxTree::order of its nearest triangle, to float accuracy. Works in packets of
// neighbouring points: fastest when neighbours in the list are neighbours in space. `slack_mm` is how far a
// point may be off its float coordinates. A point with nothing within `reach_mm` gets `no_triangle`.
// `nearest` is as long as `points.padded()`.
void nearest_in_packets(const BoxTree& boxes, const PacketTree& tree, const PacketPoints& points,
                        float slack_mm, float reach_mm, std::span<std::uint32_t> nearest);

}  // namespace boxfettle
