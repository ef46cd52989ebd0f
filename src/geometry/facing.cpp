#include "geometry/facing.hpp"

#include <cstdint>
#include <utility>
#include <vector>

namespace boxfettle {
namespace {

// Two triangles agree when they run along their shared edge in opposite directions.
bool agree_across(const TriangleMesh& mesh, std::uint32_t a, std::size_t side, std::uint32_t b) {
  const std::uint32_t from = mesh.triangles[a][side], to = mesh.triangles[a][(side + 1) % 3];
  const Triangle& other = mesh.triangles[b];
  for (std::size_t s = 0; s < 3; ++s)
    if (other[s] == to && other[(s + 1) % 3] == from) return true;
  return false;
}

enum class Way : std::uint8_t { unknown, as_is, turned };

constexpr Way opposite(Way way) {
  return way == Way::as_is ? Way::turned : Way::as_is;
}

// One connected piece, from its first triangle; false when going round it contradicts itself.
bool walk(const TriangleMesh& mesh, const MeshTopology& topology, std::uint32_t first, std::vector<Way>& way,
          std::vector<std::uint32_t>& piece) {
  piece.assign(1, first);
  way[first] = Way::as_is;
  for (std::size_t i = 0; i < piece.size(); ++i)
    for (std::size_t side = 0; side < 3; ++side) {
      const std::uint32_t t = piece[i], next = topology.neighbours[t][side];
      if (next == no_triangle) continue;
      const Way wanted = agree_across(mesh, t, side, next) ? way[t] : opposite(way[t]);
      if (way[next] == Way::unknown) {
        way[next] = wanted;
        piece.push_back(next);
      } else if (way[next] != wanted) {
        return false;
      }
    }
  return true;
}

}  // namespace

std::optional<std::size_t> agree_on_facing(TriangleMesh& mesh, const MeshTopology& topology) {
  std::vector<Way> way(mesh.triangles.size(), Way::unknown);
  std::vector<std::uint32_t> piece, to_turn;
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    if (way[t] != Way::unknown) continue;
    if (!walk(mesh, topology, t, way, piece)) return std::nullopt;
    std::size_t turned = 0;
    for (const std::uint32_t p : piece) turned += way[p] == Way::turned;
    const Way fewer = 2 * turned <= piece.size() ? Way::turned : Way::as_is;
    for (const std::uint32_t p : piece)
      if (way[p] == fewer) to_turn.push_back(p);
  }
  for (const std::uint32_t t : to_turn) std::swap(mesh.triangles[t][1], mesh.triangles[t][2]);
  return to_turn.size();
}

}  // namespace boxfettle
