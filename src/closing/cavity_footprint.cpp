#include "closing/cavity_footprint.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/plane_section.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

constexpr int cells_along_longest_side = 256;
constexpr double hair_mm = 0.05;

// Cells whose middle lies in the shadow of some triangle.
class Shadow {
 public:
  Shadow(const TriangleMesh& design, const PartingFace& parting) {
    if (design.vertices.empty()) return;
    Vector2d low = Vector2d::Constant(1e300), high = -low;
    std::vector<Vector2d> flat;
    flat.reserve(design.vertices.size());
    for (const Vector3d& vertex : design.vertices) {
      flat.push_back(parting.at_parting_mm(vertex));
      low = low.cwiseMin(flat.back());
      high = high.cwiseMax(flat.back());
    }
    low_ = low;
    cell_ = std::max((high - low).maxCoeff() / cells_along_longest_side, 1e-6);
    across_ = static_cast<int>(std::ceil((high.x() - low.x()) / cell_)) + 1;
    const int up = static_cast<int>(std::ceil((high.y() - low.y()) / cell_)) + 1;
    inside_.assign(static_cast<std::size_t>(across_) * static_cast<std::size_t>(up), 0);
    for (const Triangle& t : design.triangles) darken(flat[t[0]], flat[t[1]], flat[t[2]]);
  }

  std::vector<Vector2d> cells() const {
    std::vector<Vector2d> cells;
    for (std::size_t i = 0; i < inside_.size(); ++i)
      if (inside_[i] != 0) {
        const auto wide = static_cast<std::size_t>(across_);
        cells.push_back(middle(static_cast<int>(i % wide), static_cast<int>(i / wide)));
      }
    return cells;
  }
  double cell_area() const { return cell_ * cell_; }

 private:
  Vector2d middle(int column, int row) const { return low_ + cell_ * Vector2d(column + 0.5, row + 0.5); }

  void darken(const Vector2d& a, const Vector2d& b, const Vector2d& c) {
    const double first = std::min({a.y(), b.y(), c.y()}), last = std::max({a.y(), b.y(), c.y()});
    const int from = static_cast<int>(std::ceil((first - low_.y()) / cell_ - 0.5));
    const int to = static_cast<int>(std::floor((last - low_.y()) / cell_ - 0.5));
    for (int row = from; row <= to; ++row) {
      const double y = low_.y() + (row + 0.5) * cell_;
      double left = 1e300, right = -1e300;
      const auto cross = [&](const Vector2d& p, const Vector2d& q) {
        if ((p.y() > y) == (q.y() > y)) return;
        const double x = p.x() + (y - p.y()) / (q.y() - p.y()) * (q.x() - p.x());
        left = std::min(left, x);
        right = std::max(right, x);
      };
      cross(a, b);
      cross(b, c);
      cross(c, a);
      if (left > right) continue;  // the row only touches a corner
      const int begin = static_cast<int>(std::ceil((left - low_.x()) / cell_ - 0.5));
      const int end = static_cast<int>(std::floor((right - low_.x()) / cell_ - 0.5));
      for (int column = std::max(begin, 0); column <= std::min(end, across_ - 1); ++column)
        inside_[static_cast<std::size_t>(row) * static_cast<std::size_t>(across_) +
                static_cast<std::size_t>(column)] = 1;
    }
  }

  Vector2d low_;
  double cell_ = 1;
  int across_ = 1;
  std::vector<unsigned char> inside_;
};

// The face itself, or a hair to the side on which the cavity is wider there.
std::vector<SectionLine> section_at_face(const TriangleMesh& design, const PartingFace& parting) {
  const double height = parting.normal.dot(parting.point_mm);
  std::vector<SectionLine> widest;
  double area = 0;
  for (const double aside : {0.0, hair_mm, -hair_mm}) {
    std::vector<SectionLine> lines = plane_section(design, parting.normal, height + aside);
    const double here = std::abs(section_area(lines, parting.normal).area_mm2);
    // The face itself unless a hair beside it there is far more: a cavity that only begins at the face.
    if (here > (aside == 0 ? 0 : 1.05 * area)) {
      area = here;
      widest = std::move(lines);
    }
  }
  return widest;
}

}  // namespace

std::vector<Vector2d> CavityFootprint::outline_points_mm() const {
  std::vector<Vector2d> points;
  for (const PartingLine& line : outlines) points.insert(points.end(), line.begin(), line.end());
  return points;
}

CavityFootprint cavity_footprint(const TriangleMesh& design_mm, const PartingFace& parting) {
  CavityFootprint footprint;
  const std::vector<SectionLine> section = section_at_face(design_mm, parting);
  const SectionArea area = section_area(section, parting.normal);
  footprint.section_area_mm2 = std::abs(area.area_mm2);
  footprint.section_centroid_mm = parting.at_parting_mm(area.centroid_mm);
  for (const SectionLine& line : section) {
    if (!line.closed) continue;
    PartingLine flat;
    for (const Vector3d& point : line.points_mm) flat.push_back(parting.at_parting_mm(point));
    footprint.outlines.push_back(std::move(flat));
  }
  const Shadow shadow(design_mm, parting);
  footprint.cells_mm = shadow.cells();
  const double counted = static_cast<double>(footprint.cells_mm.size()) * shadow.cell_area();
  // Where the counted shadow and the exact section agree to the counting's own error they are one and the
  // same.
  const bool same = std::abs(counted - footprint.section_area_mm2) < 0.02 * counted;
  footprint.projected_area_mm2 = same ? footprint.section_area_mm2 : counted;
  Vector2d sum = Vector2d::Zero();
  for (const Vector2d& cell : footprint.cells_mm) sum += cell;
  footprint.centroid_mm = same ? footprint.section_centroid_mm
                          : footprint.cells_mm.empty()
                              ? Vector2d::Zero()
                              : Vector2d(sum / static_cast<double>(footprint.cells_mm.size()));
  footprint.cavity_volume_mm3 = std::abs(enclosed_volume_mm3(design_mm));
  const Bounds box = bounds(design_mm);
  footprint.longest_mm = box.empty() ? 0 : (box.high - box.low).maxCoeff();
  return footprint;
}

}  // namespace boxfettle
