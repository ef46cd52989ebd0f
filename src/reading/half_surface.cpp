#include "reading/half_surface.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace boxfettle {
namespace {

using Eigen::Vector2d;

// Two triangles, seen from inside the core: they face into the tool, as the cavity's do.
void add_square(TriangleMesh& mesh, std::array<std::uint32_t, 4> corner, Half half) {
  if (half == Half::lower) std::swap(corner[1], corner[3]);
  mesh.triangles.push_back({corner[0], corner[1], corner[2]});
  mesh.triangles.push_back({corner[0], corner[2], corner[3]});
}

}  // namespace

TriangleMesh half_outline_sheet(const HalfDesign& design, const CoreBox& box) {
  constexpr double margin_mm = 20, side_mm = 5;
  Vector2d low = Vector2d::Constant(1e300), high = -low;
  const auto include = [&](const Vector2d& p) {
    low = low.cwiseMin((p.array() - margin_mm).matrix());
    high = high.cwiseMax((p.array() + margin_mm).matrix());
  };
  for (const auto& line : design.outline_lines())
    for (const Vector2d& p : line) include(p);
  for (const Dowel& dowel : box.dowels) include(dowel.at_parting_mm);
  const double side = std::max(side_mm, (high - low).maxCoeff() / 300);
  TriangleMesh sheet = design.cavity().mesh();
  for (double x = low.x(); x < high.x(); x += side)
    for (double y = low.y(); y < high.y(); y += side) {
      if (design.outline().inside({x + 0.5 * side, y + 0.5 * side})) continue;
      const auto first = static_cast<std::uint32_t>(sheet.vertices.size());
      for (const Vector2d& p :
           {Vector2d(x, y), Vector2d(x + side, y), Vector2d(x + side, y + side), Vector2d(x, y + side)})
        sheet.vertices.push_back(design.parting().at_design_mm(p));
      add_square(sheet, {first, first + 1, first + 2, first + 3}, design.half());
    }
  return sheet;
}

void add_face(ScanReading& reading, const HalfDesign& design, const MeasuredFace& face,
              const std::vector<Finding>& damage) {
  const FaceCells& cells = face.cells;
  std::vector<std::array<std::uint32_t, 4>> corners_of(face.off_plane_mm.size());
  const double half_side = 0.5 * cells.side_mm();
  for (std::size_t s = 0; s < face.off_plane_mm.size(); ++s) {
    if (std::isnan(face.off_plane_mm[s])) continue;
    for (std::size_t k = 0; k < 4; ++k) {
      corners_of[s][k] = static_cast<std::uint32_t>(reading.surface.vertices.size());
      const Vector2d off(k == 1 || k == 2 ? half_side : -half_side, k >= 2 ? half_side : -half_side);
      reading.surface.vertices.push_back(design.parting().at_design_mm(cells.centre_mm(s) + off));
      reading.vertex_deviation_mm.push_back(-face.off_plane_mm[s]);
    }
    add_square(reading.surface, corners_of[s], design.half());
  }
  for (std::size_t d = 0; d < damage.size(); ++d) {
    Finding finding = damage[d];
    for (const std::uint32_t c : face.damage[d].patch.cells) {
      const std::uint32_t s = cells.square_of_cell()[c];
      if (std::isnan(face.off_plane_mm[s])) continue;
      finding.vertices.insert(finding.vertices.end(), corners_of[s].begin(), corners_of[s].end());
    }
    std::sort(finding.vertices.begin(), finding.vertices.end());
    reading.findings.push_back(std::move(finding));
  }
}

}  // namespace boxfettle
