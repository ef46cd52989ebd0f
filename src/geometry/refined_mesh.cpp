#include "geometry/refined_mesh.hpp"

#include <algorithm>
#include <unordered_map>

namespace boxfettle {
namespace {

// Midpoints of the long edges, shared by the triangles on both sides.
class Midpoints {
 public:
  Midpoints(std::vector<Eigen::Vector3d>& vertices, double edge_mm)
      : vertices_(vertices), squared_limit_(edge_mm * edge_mm) {}

  bool is_long(std::uint32_t a, std::uint32_t b) const {
    return (vertices_[a] - vertices_[b]).squaredNorm() > squared_limit_;
  }
  std::uint32_t of(std::uint32_t a, std::uint32_t b) {
    const std::uint64_t key = std::uint64_t{std::min(a, b)} << 32 | std::max(a, b);
    const auto [found, fresh] = known_.try_emplace(key, static_cast<std::uint32_t>(vertices_.size()));
    if (fresh) vertices_.push_back(0.5 * (vertices_[a] + vertices_[b]));
    return found->second;
  }

 private:
  std::vector<Eigen::Vector3d>& vertices_;
  double squared_limit_;
  std::unordered_map<std::uint64_t, std::uint32_t> known_;
};

void split(const Triangle& t, Midpoints& midpoints, std::vector<Triangle>& out) {
  std::array<bool, 3> cut{};
  int cuts = 0;
  for (std::size_t e = 0; e < 3; ++e) {
    cut[e] = midpoints.is_long(t[e], t[(e + 1) % 3]);
    cuts += cut[e];
  }
  if (cuts == 0) {
    out.push_back(t);
    return;
  }
  // Turn the triangle so that its cut edges come first; for two cuts the uncut edge is the last one.
  std::size_t turn = 0;
  while (!(cut[turn] && (cuts == 3 || !cut[(turn + 2) % 3]))) ++turn;
  const std::uint32_t a = t[turn], b = t[(turn + 1) % 3], c = t[(turn + 2) % 3];
  const std::uint32_t ab = midpoints.of(a, b);
  if (cuts == 1) {
    out.insert(out.end(), {{a, ab, c}, {ab, b, c}});
    return;
  }
  const std::uint32_t bc = midpoints.of(b, c);
  if (cuts == 2) {
    out.insert(out.end(), {{ab, b, bc}, {a, ab, bc}, {a, bc, c}});
    return;
  }
  const std::uint32_t ca = midpoints.of(c, a);
  out.insert(out.end(), {{a, ab, ca}, {ab, b, bc}, {ca, bc, c}, {ab, bc, ca}});
}

}  // namespace

TriangleMesh refined_mesh(TriangleMesh mesh, double edge_mm, std::size_t most_triangles) {
  for (;;) {
    Midpoints midpoints(mesh.vertices, edge_mm);
    const bool fine = std::none_of(mesh.triangles.begin(), mesh.triangles.end(), [&](const Triangle& t) {
      return midpoints.is_long(t[0], t[1]) || midpoints.is_long(t[1], t[2]) || midpoints.is_long(t[2], t[0]);
    });
    if (fine) return mesh;
    std::vector<Triangle> next;
    next.reserve(mesh.triangles.size() + mesh.triangles.size() / 2);
    const std::size_t vertices_before = mesh.vertices.size();
    for (const Triangle& t : mesh.triangles) split(t, midpoints, next);
    if (next.size() > most_triangles) {
      mesh.vertices.resize(vertices_before);
      return mesh;
    }
    mesh.triangles = std::move(next);
  }
}

}  // namespace boxfettle
