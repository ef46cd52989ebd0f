#include "geometry/mesh_cleaning.hpp"

#include <bit>
#include <limits>
#include <utility>

#include "geometry/corner_welding.hpp"

namespace boxfettle {
namespace {

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

Triangle smallest_first(const Triangle& t) {
  if (t[0] < t[1] && t[0] < t[2]) return t;
  return t[1] < t[2] ? Triangle{t[1], t[2], t[0]} : Triangle{t[2], t[0], t[1]};
}

bool has_area(const TriangleMesh& mesh, std::size_t t) {
  return !doubled_area_vector(mesh, t).isZero(0);
}

// The triangles seen so far, by open addressing; half of each slot is a part of the hash, so that a stranger
// is passed by without fetching its triangle.
class SeenTriangles {
 public:
  explicit SeenTriangles(std::size_t count) : slots_(std::bit_ceil(2 * count + 1), Slot{0, none}) {}

  std::uint64_t hash(const Triangle& t) const {
    const Triangle key = smallest_first(t);
    return folded_product(((std::uint64_t{key[0]} << 32) | key[1]) ^ seed_.a, key[2] ^ seed_.b);
  }
  void fetch_ahead(std::uint64_t hash) const { __builtin_prefetch(&slots_[hash & (slots_.size() - 1)]); }

  // True the first time. `number` is where the triangle stands in `kept`.
  bool is_new(const Triangle& t, std::uint64_t hash, std::uint32_t number,
              const std::vector<Triangle>& kept) {
    const auto tag = static_cast<std::uint32_t>(hash >> 32);
    std::size_t at = hash & (slots_.size() - 1);
    while (slots_[at].number != none) {
      if (slots_[at].tag == tag && smallest_first(kept[slots_[at].number]) == smallest_first(t)) return false;
      at = (at + 1) & (slots_.size() - 1);
    }
    slots_[at] = {tag, number};
    return true;
  }

 private:
  struct Slot {
    std::uint32_t tag, number;
  };
  HashSeed seed_ = HashSeed::drawn();
  std::vector<Slot> slots_;
};

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
  MeshFlaws flaws;
  std::vector<Triangle>& triangles = mesh.triangles;
  SeenTriangles seen(triangles.size());
  constexpr std::size_t ahead = 16;
  std::array<std::uint64_t, ahead> hashes{};
  std::size_t kept = 0;
  for (std::size_t t = 0; t < triangles.size() + ahead; ++t) {
    const std::uint64_t next_hash = t < triangles.size() ? seen.hash(triangles[t]) : 0;
    if (t < triangles.size()) seen.fetch_ahead(next_hash);
    const std::uint64_t hash = std::exchange(hashes[t % ahead], next_hash);
    if (t < ahead) continue;
    const std::size_t candidate = t - ahead;
    if (!has_area(mesh, candidate)) {
      ++flaws.zero_area;
    } else if (!seen.is_new(triangles[candidate], hash, static_cast<std::uint32_t>(kept), triangles)) {
      ++flaws.duplicate;
    } else {
      triangles[kept++] = triangles[candidate];
    }
  }
  triangles.resize(kept);
  drop_unused_vertices(mesh);
  return flaws;
}

}  // namespace boxfettle
