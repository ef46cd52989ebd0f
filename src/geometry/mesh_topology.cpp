#include "geometry/mesh_topology.hpp"

#include <algorithm>
#include <span>

namespace boxfettle {
namespace {

// The edge from corner `side` to corner side + 1 of a triangle.
struct HalfEdge {
  std::uint32_t far;  // the edge's higher vertex; half-edges are grouped by the lower one
  std::uint32_t triangle;
  std::uint8_t side;
  bool upward;  // runs from the lower to the higher vertex

  HalfEdge(const TriangleMesh& mesh, std::size_t number)
      : triangle(static_cast<std::uint32_t>(number / 3)), side(static_cast<std::uint8_t>(number % 3)) {
    const Triangle& t = mesh.triangles[triangle];
    const std::uint32_t from = t[side], to = t[(side + 1u) % 3u];
    far = std::max(from, to);
    upward = from < to;
  }
};

// Numbers of half-edges, 3 * triangle + side, by their lower vertex.
struct GroupedHalfEdges {
  std::vector<std::uint32_t> first;  // of each vertex's group, one more at the end
  std::vector<std::uint32_t> number;
};

// A counting sort: linear, and the groups are as small as a vertex has edges.
GroupedHalfEdges group_by_lower_vertex(const TriangleMesh& mesh) {
  GroupedHalfEdges groups;
  groups.first.assign(mesh.vertices.size() + 1, 0);
  for (const Triangle& t : mesh.triangles)
    for (std::size_t s = 0; s < 3; ++s) ++groups.first[std::min(t[s], t[(s + 1) % 3]) + 1];
  for (std::size_t v = 0; v < mesh.vertices.size(); ++v) groups.first[v + 1] += groups.first[v];
  groups.number.resize(mesh.triangles.size() * 3);
  std::vector<std::uint32_t> next(groups.first.begin(), groups.first.end() - 1);
  std::uint32_t number = 0;
  for (const Triangle& t : mesh.triangles)
    for (std::size_t s = 0; s < 3; ++s) groups.number[next[std::min(t[s], t[(s + 1) % 3])]++] = number++;
  return groups;
}

void join(MeshTopology& topology, const HalfEdge& a, const HalfEdge& b) {
  topology.neighbours[a.triangle][a.side] = b.triangle;
  topology.neighbours[b.triangle][b.side] = a.triangle;
}

// All half-edges of one edge. Opposite directions pair first; what is left pairs against the rule and is
// counted.
void pair_off(MeshTopology& topology, std::span<HalfEdge> same) {
  if (same.size() > 2) ++topology.crowded_edges;
  if (same.size() == 1) {
    ++topology.open_edges;
    return;
  }
  if (same.size() == 2) {
    if (same[0].upward == same[1].upward) ++topology.contradicting_edges;
    join(topology, same[0], same[1]);
    return;
  }
  const auto downward =
      std::stable_partition(same.begin(), same.end(), [](const HalfEdge& e) { return e.upward; });
  const auto ups = static_cast<std::size_t>(downward - same.begin());
  for (std::size_t i = 0; i < std::min(ups, same.size() - ups); ++i) join(topology, same[i], same[ups + i]);
}

}  // namespace

MeshTopology mesh_topology(const TriangleMesh& mesh) {
  MeshTopology topology;
  topology.neighbours.assign(mesh.triangles.size(), {no_triangle, no_triangle, no_triangle});
  const GroupedHalfEdges groups = group_by_lower_vertex(mesh);
  std::vector<HalfEdge> edges;
  for (std::size_t v = 0; v < mesh.vertices.size(); ++v) {
    edges.clear();
    for (std::uint32_t i = groups.first[v]; i < groups.first[v + 1]; ++i)
      edges.emplace_back(mesh, groups.number[i]);
    std::sort(edges.begin(), edges.end(), [](const HalfEdge& a, const HalfEdge& b) {
      return a.far != b.far ? a.far < b.far : a.triangle < b.triangle;
    });
    for (auto run = edges.begin(); run != edges.end();) {
      const auto stop = std::find_if(run, edges.end(), [&](const HalfEdge& e) { return e.far != run->far; });
      pair_off(topology, {run, stop});
      run = stop;
    }
  }
  return topology;
}

}  // namespace boxfettle
