#include "geometry/plane_section.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <unordered_map>

namespace boxfettle {
namespace {

using EdgeKey = std::uint64_t;
EdgeKey edge_key(std::uint32_t a, std::uint32_t b) {
  return EdgeKey{std::min(a, b)} << 32 | std::max(a, b);
}

struct Piece {
  EdgeKey from, to;  // the mesh edges it runs between
  std::uint32_t triangle;
};

// Each triangle that reaches both sides is crossed once: it is entered where its border goes down through the
// plane and left where it comes up again, which keeps the solid on the left.
std::vector<Piece> crossings(const TriangleMesh& mesh, const std::vector<double>& height) {
  std::vector<Piece> pieces;
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    const Triangle& tri = mesh.triangles[t];
    const std::array<bool, 3> above{height[tri[0]] >= 0, height[tri[1]] >= 0, height[tri[2]] >= 0};
    if (above[0] == above[1] && above[1] == above[2]) continue;
    Piece piece{0, 0, t};
    for (std::size_t e = 0; e < 3; ++e) {
      const std::size_t f = (e + 1) % 3;
      if (above[e] && !above[f]) piece.from = edge_key(tri[e], tri[f]);
      if (!above[e] && above[f]) piece.to = edge_key(tri[e], tri[f]);
    }
    pieces.push_back(piece);
  }
  return pieces;
}

Eigen::Vector3d crossing(const TriangleMesh& mesh, const std::vector<double>& height, EdgeKey edge) {
  const auto a = static_cast<std::uint32_t>(edge >> 32), b = static_cast<std::uint32_t>(edge);
  const double share = height[a] / (height[a] - height[b]);
  return mesh.vertices[a] + share * (mesh.vertices[b] - mesh.vertices[a]);
}

}  // namespace

std::vector<SectionLine> plane_section(const TriangleMesh& mesh, const Eigen::Vector3d& normal,
                                       double offset_mm) {
  std::vector<double> height(mesh.vertices.size());
  for (std::size_t v = 0; v < height.size(); ++v) height[v] = normal.dot(mesh.vertices[v]) - offset_mm;
  const std::vector<Piece> pieces = crossings(mesh, height);
  std::unordered_multimap<EdgeKey, std::size_t> starting_at;
  std::unordered_map<EdgeKey, std::size_t> ending_at;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    starting_at.emplace(pieces[i].from, i);
    ending_at.emplace(pieces[i].to, i);
  }
  std::vector<bool> used(pieces.size(), false);
  std::vector<SectionLine> lines;
  const auto follow = [&](std::size_t first) {
    SectionLine line;
    EdgeKey at = pieces[first].from;
    std::size_t next = first;
    for (;;) {
      used[next] = true;
      line.points_mm.push_back(crossing(mesh, height, at));
      line.triangles.push_back(pieces[next].triangle);
      at = pieces[next].to;
      if (at == pieces[first].from) {
        line.closed = true;
        break;
      }
      const auto [begin, end] = starting_at.equal_range(at);
      const auto go = std::find_if(begin, end, [&](const auto& entry) { return !used[entry.second]; });
      if (go == end) {
        line.points_mm.push_back(crossing(mesh, height, at));
        break;
      }
      next = go->second;
    }
    lines.push_back(std::move(line));
  };
  // Open lines first, from their loose ends; what is left closes on itself.
  for (std::size_t i = 0; i < pieces.size(); ++i)
    if (!used[i] && !ending_at.contains(pieces[i].from)) follow(i);
  for (std::size_t i = 0; i < pieces.size(); ++i)
    if (!used[i]) follow(i);
  return lines;
}

SectionArea section_area(const std::vector<SectionLine>& lines, const Eigen::Vector3d& normal) {
  SectionArea area;
  Eigen::Vector3d origin = Eigen::Vector3d::Zero();
  for (const SectionLine& line : lines)
    if (line.closed) {
      origin = line.points_mm.front();
      break;
    }
  Eigen::Vector3d moment = Eigen::Vector3d::Zero();
  for (const SectionLine& line : lines) {
    if (!line.closed) continue;
    for (std::size_t i = 0; i < line.points_mm.size(); ++i) {
      const Eigen::Vector3d a = line.points_mm[i] - origin;
      const Eigen::Vector3d b = line.points_mm[(i + 1) % line.points_mm.size()] - origin;
      const double piece = 0.5 * a.cross(b).dot(normal);
      area.area_mm2 += piece;
      moment += piece * (a + b) / 3;
    }
  }
  area.centroid_mm = std::abs(area.area_mm2) > 0 ? Eigen::Vector3d(origin + moment / area.area_mm2) : origin;
  return area;
}

}  // namespace boxfettle
