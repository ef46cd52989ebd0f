#include "reading/half_design.hpp"

#include <algorithm>
#include <string>

#include "geometry/plane_section.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

// The outline is taken a little inside the half: a step of the core that lies in the parting plane itself
// belongs to the half it is seen from.
constexpr double into_half_mm = 0.02;

bool deeper_than_rim(const TriangleMesh& mesh, const Triangle& t, const PartingFace& parting, Half half) {
  const double into = half == Half::lower ? -1 : 1;
  return std::all_of(t.begin(), t.end(),
                     [&](std::uint32_t v) { return into * parting.height_mm(mesh.vertices[v]) > rim_mm; });
}

TriangleMesh deeper_than_rim(const TriangleMesh& mesh, const PartingFace& parting, Half half) {
  std::vector<std::uint32_t> renamed(mesh.vertices.size(), no_triangle);
  TriangleMesh sheet;
  for (const Triangle& t : mesh.triangles) {
    if (!deeper_than_rim(mesh, t, parting, half)) continue;
    Triangle kept = t;
    for (std::uint32_t& v : kept) {
      if (renamed[v] == no_triangle) {
        renamed[v] = static_cast<std::uint32_t>(sheet.vertices.size());
        sheet.vertices.push_back(mesh.vertices[v]);
      }
      v = renamed[v];
    }
    sheet.triangles.push_back(kept);
  }
  return sheet;
}

std::vector<bool> triangles_at_border(const DesignSurface& sheet) {
  const TriangleMesh& mesh = sheet.mesh();
  std::vector<bool> open_corner(mesh.vertices.size(), false), at_border(mesh.triangles.size());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (std::size_t e = 0; e < 3; ++e)
      if (sheet.index().topology().neighbours[t][e] == no_triangle)
        open_corner[mesh.triangles[t][e]] = open_corner[mesh.triangles[t][(e + 1) % 3]] = true;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    at_border[t] = std::any_of(mesh.triangles[t].begin(), mesh.triangles[t].end(),
                               [&](std::uint32_t v) { return open_corner[v]; });
  return at_border;
}

}  // namespace

bool has_cavity(const TriangleMesh& design, const PartingFace& parting, Half half) {
  return std::any_of(design.triangles.begin(), design.triangles.end(),
                     [&](const Triangle& t) { return deeper_than_rim(design, t, parting, half); });
}

HalfDesign::HalfDesign(const TriangleMesh& design, const PartingFace& parting, Half half)
    : parting_(parting), half_(half) {
  const DesignSurface whole(design);
  notes_ = whole.notes();
  TriangleMesh sheet = deeper_than_rim(whole.mesh(), parting, half);
  const std::vector<SectionLine> section = plane_section(
      whole.mesh(), parting.normal, parting.normal.dot(parting.point_mm - into_half_mm * out_of_tool()));
  if (sheet.triangles.empty() || section.empty())
    throw InputError(
        "design", "",
        "the parting plane leaves nothing of the core in the " + std::string(name(half)) + " half",
        "check [parting] in the box file, or which half was scanned");
  for (const SectionLine& line : section) {
    lines_.emplace_back();
    for (const Eigen::Vector3d& p : line.points_mm) lines_.back().push_back(parting.at_parting_mm(p));
  }
  centroid_mm_ = section_area(section, parting.normal).centroid_mm;
  for (const Eigen::Vector3d& v : sheet.vertices) deepest_mm_ = std::max(deepest_mm_, -height_mm(v));
  cavity_ = std::make_unique<DesignSurface>(OpenSheet{std::move(sheet)});
  at_border_ = triangles_at_border(*cavity_);
  outline_ = std::make_unique<OutlineMap>(lines_);
}

}  // namespace boxfettle
