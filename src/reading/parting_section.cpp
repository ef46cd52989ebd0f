#include "reading/parting_section.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/plane_section.hpp"

namespace boxfettle {
namespace {

constexpr double mean_over_mm = 6;      // to either side along the outline
constexpr double smallest_slope = 0.2;  // a nearly flat place would be moved without end
constexpr double not_seen = std::numeric_limits<double>::quiet_NaN();

// What the corners of one crossed triangle say, above the face and below it: between halves that stand apart
// the surface has a step there, and neither side may outvote the other by how the triangles happen to lie.
struct Sides {
  double above = not_seen, below = not_seen;
  bool seen() const { return !std::isnan(above) || !std::isnan(below); }
};

double mean_of(double sum, int count) {
  return count > 0 ? sum / count : not_seen;
}

Sides sides_of(const TriangleMesh& mesh, std::span<const float> deviation_mm, std::size_t triangle,
               const PartingFace& parting) {
  double above = 0, below = 0;
  int above_count = 0, below_count = 0;
  for (const std::uint32_t v : mesh.triangles[triangle]) {
    if (std::isnan(deviation_mm[v])) continue;
    const bool up = parting.height_mm(mesh.vertices[v]) >= 0;
    (up ? above : below) += deviation_mm[v];
    ++(up ? above_count : below_count);
  }
  return {mean_of(above, above_count), mean_of(below, below_count)};
}

// A mean that passes over what was not seen.
struct RunningMean {
  double sum = 0, weight = 0;
  void take(double value, double by) {
    if (std::isnan(value)) return;
    sum += by * value;
    weight += by;
  }
  double value() const { return weight > 0 ? sum / weight : not_seen; }
};

// One outline walked by length, so that a mean can be taken over a stretch of it.
class Outline {
 public:
  Outline(const SectionLine& line, const Eigen::Vector3d& normal) : line_(line), normal_(normal) {}
  std::size_t size() const { return line_.points_mm.size(); }

  // Calls take(index, distance) for every point within `reach` of point i along the line, i included.
  template <class Take>
  void about(std::size_t i, double reach, const Take& take) const {
    take(i, 0.0);
    for (const int step : {1, -1}) {
      double far = 0;
      std::size_t at = i;
      for (std::size_t count = 1; count < size(); ++count) {
        const auto next = neighbour(at, step);
        if (!next) break;
        far += (line_.points_mm[*next] - line_.points_mm[at]).norm();
        if (far > reach) break;
        at = *next;
        take(at, far);
      }
    }
  }

  // In the face, square to the outline, away from the solid, which lies on the left.
  Eigen::Vector3d outward(std::size_t i) const {
    const Eigen::Vector3d before = line_.points_mm[apart(i, -1)], after = line_.points_mm[apart(i, 1)];
    const Eigen::Vector3d out = (after - before).cross(normal_);
    return out.norm() > 0 ? Eigen::Vector3d(out.normalized()) : Eigen::Vector3d::Zero();
  }

 private:
  // The next point that way which does not coincide with this one: a face through corners of the mesh meets
  // several of its edges in one place.
  std::size_t apart(std::size_t i, int step) const {
    constexpr double coincide_mm = 0.01;
    std::size_t at = i;
    for (std::size_t count = 1; count < size(); ++count) {
      const auto next = neighbour(at, step);
      if (!next) break;
      at = *next;
      if ((line_.points_mm[at] - line_.points_mm[i]).norm() > coincide_mm) break;
    }
    return at;
  }

  std::optional<std::size_t> neighbour(std::size_t i, int step) const {
    if (step > 0 && i + 1 < size()) return i + 1;
    if (step < 0 && i > 0) return i - 1;
    if (!line_.closed) return std::nullopt;
    return step > 0 ? 0 : size() - 1;
  }

  const SectionLine& line_;
  const Eigen::Vector3d& normal_;
};

// How much further than its deviation a wall moves in the face, for the triangle that carries a point.
double slope_factor(const TriangleMesh& surface, std::size_t triangle, const Eigen::Vector3d& normal) {
  const double along = doubled_area_vector(surface, triangle).normalized().dot(normal);
  return 1 / std::max(std::sqrt(std::max(1 - along * along, 0.0)), smallest_slope);
}

Polyline measured_line(const SectionLine& line, const TriangleMesh& surface,
                       std::span<const float> deviation_mm, const PartingFace& parting) {
  const Outline outline(line, parting.normal);
  std::vector<Sides> sides(outline.size());
  const auto triangle = [&](std::size_t i) { return line.triangles[std::min(i, line.triangles.size() - 1)]; };
  for (std::size_t i = 0; i < sides.size(); ++i)
    sides[i] = sides_of(surface, deviation_mm, triangle(i), parting);
  Polyline measured{{}, line.closed};
  for (std::size_t i = 0; i < sides.size(); ++i) {
    RunningMean above, below, both;
    outline.about(i, mean_over_mm, [&](std::size_t k, double far) {
      above.take(sides[k].above, 1 - far / mean_over_mm);
      below.take(sides[k].below, 1 - far / mean_over_mm);
    });
    both.take(above.value(), 1);
    both.take(below.value(), 1);
    const double moved =
        sides[i].seen() ? both.value() * slope_factor(surface, triangle(i), parting.normal) : not_seen;
    measured.points_mm.push_back(line.points_mm[i] + moved * outline.outward(i));
  }
  return measured;
}

}  // namespace

PartingSection parting_section(const TriangleMesh& surface, std::span<const float> deviation_mm,
                               const PartingFace& parting) {
  PartingSection section;
  for (const SectionLine& line :
       plane_section(surface, parting.normal, parting.normal.dot(parting.point_mm))) {
    section.design.push_back({line.points_mm, line.closed});
    section.measured.push_back(measured_line(line, surface, deviation_mm, parting));
  }
  return section;
}

std::vector<Polyline> seen_stretches(const Polyline& line) {
  const auto& points = line.points_mm;
  const auto gap = std::find_if(points.begin(), points.end(), [](const auto& p) { return !p.allFinite(); });
  if (gap == points.end()) return {line};
  // A closed line starts behind a gap, so that no stretch is cut at its first point.
  const std::size_t first = line.closed ? static_cast<std::size_t>(gap - points.begin()) : 0;
  std::vector<Polyline> stretches;
  bool drawing = false;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Eigen::Vector3d& p = points[(first + i) % points.size()];
    const bool seen = p.allFinite();
    if (seen && !drawing) stretches.emplace_back();
    if (seen) stretches.back().points_mm.push_back(p);
    drawing = seen;
  }
  std::erase_if(stretches, [](const Polyline& one) { return one.points_mm.size() < 2; });
  return stretches;
}

double length_mm(const Polyline& line) {
  double length = 0;
  for (std::size_t i = 0; i + 1 < line.points_mm.size(); ++i)
    length += (line.points_mm[i + 1] - line.points_mm[i]).norm();
  if (line.closed && line.points_mm.size() > 1)
    length += (line.points_mm.front() - line.points_mm.back()).norm();
  return length;
}

}  // namespace boxfettle
