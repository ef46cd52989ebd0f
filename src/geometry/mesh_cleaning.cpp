#include "geometry/mesh_cleaning.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <limits>
#include <vector>

namespace boxfettle {
namespace {

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

enum class Flaw : std::uint8_t { none, zero_area, duplicate };

Triangle smallest_first(const Triangle& t) {
  if (t[0] < t[1] && t[0] < t[2]) return t;
  return t[1] < t[2] ? Triangle{t[1], t[2], t[0]} : Triangle{t[2], t[0], t[1]};
}

template <class Work>
void each_of(std::size_t count, const Work& work) {
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, count, 16384), [&](const auto& range) {
    for (std::size_t i = range.begin(); i < range.end(); ++i) work(i);
  });
}

// Triangles by their smallest vertex, each list from its last to its first: repeats stand in one list.
struct Lists {
  std::vector<std::uint32_t> last;      // per vertex
  std::vector<std::uint32_t> previous;  // per triangle
};

Lists by_smallest_vertex(const TriangleMesh& mesh, const std::vector<Flaw>& flaw) {
  Lists lists{std::vector<std::uint32_t>(mesh.vertices.size(), none),
              std::vector<std::uint32_t>(mesh.triangles.size())};
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    if (flaw[t] != Flaw::none) continue;
    const Triangle& triangle = mesh.triangles[t];
    std::uint32_t& last = lists.last[std::min({triangle[0], triangle[1], triangle[2]})];
    lists.previous[t] = last;
    last = t;
  }
  return lists;
}

// A triangle among those with the same smallest vertex: its other two as one number, in their order.
struct Known {
  std::uint64_t others;
  std::uint32_t number;
};

std::uint64_t others(const Triangle& t) {
  const Triangle turned = smallest_first(t);
  return std::uint64_t{turned[1]} << 32 | turned[2];
}

// All but the first of each kind. A few are held against one another; a fan of many is sorted, so that no
// file makes this slow.
void mark_repeats(std::vector<Known>& known, std::vector<Flaw>& flaw) {
  constexpr std::size_t few = 8;
  if (known.size() <= few) {
    for (std::size_t i = 0; i < known.size(); ++i)  // the earlier triangles stand behind
      for (std::size_t j = i + 1; j < known.size(); ++j)
        if (known[i].others == known[j].others) flaw[known[i].number] = Flaw::duplicate;
    return;
  }
  std::sort(known.begin(), known.end(), [](const Known& a, const Known& b) {
    return a.others != b.others ? a.others < b.others : a.number < b.number;
  });
  for (std::size_t i = 1; i < known.size(); ++i)
    if (known[i].others == known[i - 1].others) flaw[known[i].number] = Flaw::duplicate;
}

void find_repeats(const TriangleMesh& mesh, std::vector<Flaw>& flaw) {
  const Lists lists = by_smallest_vertex(mesh, flaw);
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, lists.last.size(), 8192), [&](const auto& range) {
    std::vector<Known> known;
    for (std::size_t v = range.begin(); v < range.end(); ++v) {
      known.clear();
      for (std::uint32_t t = lists.last[v]; t != none; t = lists.previous[t])
        known.push_back({others(mesh.triangles[t]), t});
      if (known.size() > 1) mark_repeats(known, flaw);
    }
  });
}

}  // namespace

void drop_unused_vertices(TriangleMesh& mesh) {
  std::vector<std::uint32_t> number(mesh.vertices.size(), none);
  for (const Triangle& t : mesh.triangles)
    for (const std::uint32_t v : t) number[v] = 0;
  std::uint32_t used = 0;
  for (std::size_t v = 0; v < number.size(); ++v) {
    if (number[v] == none) continue;
    mesh.vertices[used] = mesh.vertices[v];
    number[v] = used++;
  }
  if (used == mesh.vertices.size()) return;
  mesh.vertices.resize(used);
  for (Triangle& t : mesh.triangles)
    for (std::uint32_t& v : t) v = number[v];
}

MeshFlaws drop_flawed_triangles(TriangleMesh& mesh) {
  std::vector<Triangle>& triangles = mesh.triangles;
  std::vector<Flaw> flaw(triangles.size(), Flaw::none);
  each_of(triangles.size(), [&](std::size_t t) {
    if (doubled_area_vector(mesh, t).isZero(0)) flaw[t] = Flaw::zero_area;
  });
  find_repeats(mesh, flaw);
  const auto count = [&](Flaw kind) {
    return static_cast<std::size_t>(std::count(flaw.begin(), flaw.end(), kind));
  };
  const MeshFlaws flaws{count(Flaw::zero_area), count(Flaw::duplicate)};
  if (flaws.zero_area + flaws.duplicate == 0) return flaws;
  std::size_t kept = 0;
  for (std::size_t t = 0; t < triangles.size(); ++t)
    if (flaw[t] == Flaw::none) triangles[kept++] = triangles[t];
  triangles.resize(kept);
  return flaws;
}

}  // namespace boxfettle
