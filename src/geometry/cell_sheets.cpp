#include "geometry/cell_sheets.hpp"

#include <numeric>

namespace boxfettle {
namespace {

constexpr int bit(int axis) {
  return 1 << axis;
}

constexpr int edge_between(int corner, int other) {
  const int along = corner ^ other;
  const int axis = along == 1 ? 0 : along == 2 ? 1 : 2;
  const int low = corner & other;
  return 4 * axis + (low >> (axis + 1) % 3 & 1) + 2 * (low >> (axis + 2) % 3 & 1);
}

struct Face {
  std::array<int, 4> corners;  // in turn round the face
  std::array<int, 4> edges;    // edges[i] joins corners[i] and corners[i + 1]
};

constexpr std::array<Face, 6> faces = [] {
  std::array<Face, 6> all{};
  for (int f = 0; f < 6; ++f) {
    const int axis = f / 2, u = bit((axis + 1) % 3), v = bit((axis + 2) % 3);
    const int base = (f & 1) * bit(axis);
    Face& face = all[static_cast<std::size_t>(f)];
    face.corners = {base, base + u, base + u + v, base + v};
    for (std::size_t i = 0; i < 4; ++i)
      face.edges[i] = edge_between(face.corners[i], face.corners[(i + 1) % 4]);
  }
  return all;
}();

bool is_inside(unsigned inside, int corner) {
  return (inside >> corner & 1u) != 0;
}

bool ambiguous(unsigned inside, const Face& face) {
  return is_inside(inside, face.corners[0]) == is_inside(inside, face.corners[2]) &&
         is_inside(inside, face.corners[1]) == is_inside(inside, face.corners[3]) &&
         is_inside(inside, face.corners[0]) != is_inside(inside, face.corners[1]);
}

class EdgeGroups {
 public:
  EdgeGroups() { std::iota(parent_.begin(), parent_.end(), 0); }
  int root(int edge) const {
    while (parent_[static_cast<std::size_t>(edge)] != edge) edge = parent_[static_cast<std::size_t>(edge)];
    return edge;
  }
  void join(int a, int b) { parent_[static_cast<std::size_t>(root(a))] = root(b); }

 private:
  std::array<int, 12> parent_{};
};

// Ties together the edges that the surface connects across this face.
void join_across(const Face& face, unsigned inside, bool joined, EdgeGroups& groups) {
  if (ambiguous(inside, face)) {
    // A strip turns round each corner of one diagonal: the inside corners', or the outside ones' when joined.
    const std::size_t first = is_inside(inside, face.corners[0]) != joined ? 0 : 1;
    groups.join(face.edges[(first + 3) % 4], face.edges[first]);
    groups.join(face.edges[first + 1], face.edges[(first + 2) % 4]);
    return;
  }
  int previous = -1;
  for (std::size_t i = 0; i < 4; ++i) {
    if (is_inside(inside, face.corners[i]) == is_inside(inside, face.corners[(i + 1) % 4])) continue;
    if (previous >= 0) groups.join(previous, face.edges[i]);
    previous = face.edges[i];
  }
}

constexpr std::array<int, 12> edge_low_corner = [] {
  std::array<int, 12> low{};
  for (int a = 0; a < 3; ++a)
    for (int uv = 0; uv < 4; ++uv)
      low[static_cast<std::size_t>(4 * a + uv)] = (uv & 1) * bit((a + 1) % 3) + (uv >> 1) * bit((a + 2) % 3);
  return low;
}();

}  // namespace

CellSheets cell_sheets(unsigned inside, unsigned joined_faces) {
  EdgeGroups groups;
  for (std::size_t f = 0; f < 6; ++f) join_across(faces[f], inside, (joined_faces >> f & 1u) != 0, groups);

  CellSheets sheets;
  std::array<std::int8_t, 12> sheet_of_root;
  sheet_of_root.fill(-1);
  for (int e = 0; e < 12; ++e) {
    const auto edge = static_cast<std::size_t>(e);
    const int low = edge_low_corner[edge], high = low + bit(e / 4);
    sheets.of_edge[edge] = -1;
    if (is_inside(inside, low) == is_inside(inside, high)) continue;
    std::int8_t& sheet = sheet_of_root[static_cast<std::size_t>(groups.root(e))];
    if (sheet < 0) sheet = static_cast<std::int8_t>(sheets.count++);
    sheets.of_edge[edge] = sheet;
  }
  return sheets;
}

const CellSheets& cell_sheets(unsigned inside) {
  static const std::array<CellSheets, 256> table = [] {
    std::array<CellSheets, 256> all;
    for (unsigned mask = 0; mask < 256; ++mask) all[mask] = cell_sheets(mask, 0);
    return all;
  }();
  return table[inside];
}

bool one_sheet_twice(unsigned inside, int face) {
  const Face& edges = faces[static_cast<std::size_t>(face)];
  if (!ambiguous(inside, edges)) return false;
  const CellSheets& sheets = cell_sheets(inside);
  return sheets.of_edge[static_cast<std::size_t>(edges.edges[0])] ==
             sheets.of_edge[static_cast<std::size_t>(edges.edges[1])] &&
         sheets.of_edge[static_cast<std::size_t>(edges.edges[1])] ==
             sheets.of_edge[static_cast<std::size_t>(edges.edges[2])];
}

}  // namespace boxfettle
