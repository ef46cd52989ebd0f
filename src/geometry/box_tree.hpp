// A binary tree of boxes over triangles, built by the surface area heuristic.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// Boxes are floats rounded outward, so that a box never excludes what it holds. The two children of an inner
// node stand side by side. Node 0 is the root, node 1 is unused so that every pair of children shares one
// cache line.
struct BoxNode {
  std::array<float, 3> low;
  std::uint32_t first;  // leaf: place of its first triangle in `order`; inner: index of its first child
  std::array<float, 3> high;
  std::uint32_t count;  // triangles in a leaf; 0 for an inner node
};
static_assert(sizeof(BoxNode) == 32);

struct BoxTree {
  static constexpr std::uint32_t leaf_size = 8;
  static constexpr int depth_bound = 80;  // no leaf lies deeper, whatever the mesh
  std::vector<BoxNode> nodes;
  std::vector<std::uint32_t> order;  // triangle numbers, leaf after leaf

  float squared_distance(const BoxNode& node, const std::array<float, 3>& p) const;
};

// The same tree for the same mesh, whatever the number of threads.
BoxTree build_box_tree(const TriangleMesh& mesh);

}  // namespace boxfettle
