#include "reading/scan_points.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "geometry/morton_order.hpp"
#include "geometry/refined_mesh.hpp"
#include "input/input_error.hpp"
#include "reading/oriented_points.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

PointCloud corners(const TriangleMesh& mesh) {
  // Long triangles are cut until their corners lie about as close as those of a scan of 150,000 points.
  const TriangleMesh fine = refined_mesh(mesh, 2 * std::sqrt(area_mm2(mesh) / 150000),
                                         std::max<std::size_t>(1000000, mesh.triangles.size()));
  PointCloud cloud;
  if (!fine.vertices.empty()) cloud.origin_mm = fine.vertices.front();
  cloud.offsets_mm.reserve(fine.vertices.size());
  std::vector<bool> used(fine.vertices.size(), false);
  for (const Triangle& t : fine.triangles)
    for (const std::uint32_t v : t) {
      if (used[v]) continue;
      used[v] = true;
      cloud.offsets_mm.push_back((fine.vertices[v] - cloud.origin_mm).cast<float>());
    }
  return cloud;
}

// Median distance from the median place: a size that neither turning nor strays nor a missing side changes
// much.
double typical_radius(const std::vector<Eigen::Vector3d>& points) {
  const auto middle = [](std::vector<double> values) {
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), at, values.end());
    return *at;
  };
  Eigen::Vector3d centre;
  for (Eigen::Index k = 0; k < 3; ++k) {
    std::vector<double> along;
    for (const Eigen::Vector3d& p : points) along.push_back(p[k]);
    centre[k] = middle(std::move(along));
  }
  std::vector<double> distances;
  for (const Eigen::Vector3d& p : points) distances.push_back((p - centre).norm());
  return middle(std::move(distances));
}

// By points that each stand for as much area.
double typical_radius(const DesignSurface& design) {
  constexpr double wanted = 3000;
  const double area_each = design.area_mm2() / wanted;
  std::vector<Eigen::Vector3d> points;
  double area = 0.5 * area_each;
  for (std::size_t t = 0; t < design.mesh().triangles.size(); ++t)
    for (area += design.triangle_area_mm2()[t]; area >= area_each; area -= area_each)
      points.push_back(centre(design.mesh(), t));
  return typical_radius(points);
}

double typical_radius(const PointCloud& cloud) {
  std::vector<Eigen::Vector3d> points;
  for (std::size_t i = 0; i < cloud.size(); ++i) points.push_back(cloud.point_mm(i));
  return typical_radius(points);
}

constexpr std::array units{LengthUnit::mm, LengthUnit::cm, LengthUnit::m, LengthUnit::inch};

LengthUnit likeliest_unit(double size_ratio) {
  return *std::min_element(units.begin(), units.end(), [&](LengthUnit a, LengthUnit b) {
    return std::abs(std::log(size_ratio * mm_per(a))) < std::abs(std::log(size_ratio * mm_per(b)));
  });
}

void require_plausible(LengthUnit given, double size_ratio) {
  const double times = size_ratio * mm_per(given);
  if (times < 3 && times > 1.0 / 3) return;
  throw InputError("scan", "unit",
                   printed("taken as %s it is %.3g times the size of the design", name(given).data(), times),
                   "give its unit as " + std::string(name(likeliest_unit(size_ratio))) + ", or auto");
}

}  // namespace

PointCloud points_in_order(const std::variant<TriangleMesh, PointCloud>& scan) {
  if (const auto* mesh = std::get_if<TriangleMesh>(&scan)) return in_morton_order(corners(*mesh));
  return in_morton_order(std::get<PointCloud>(scan));
}

ScanPoints scan_points(PointCloud cloud, const DesignSurface& design, std::optional<LengthUnit> given) {
  ScanPoints points{std::move(cloud), {}, {}};
  if (points.cloud.size() < 100)
    throw InputError("scan", "", "it has too few points: " + std::to_string(points.cloud.size()),
                     "scan the part again: at least 100 points are needed, a hundred thousand are usual");
  const double radius = typical_radius(fair_sample(points.cloud, 2000));
  if (!(radius > 0)) throw InputError("scan", "", "all its points lie in one place", "scan the part again");
  const double size_ratio = radius / typical_radius(design);
  if (given) require_plausible(*given, size_ratio);
  points.unit = given.value_or(likeliest_unit(size_ratio));
  if (!given)
    points.notes.push_back("The scan's unit was not given; by its size it is " +
                           std::string(name(points.unit)) + ".");
  if (points.unit != LengthUnit::mm) {
    const double scale = mm_per(points.unit);
    points.cloud.origin_mm *= scale;
    for (Eigen::Vector3f& p : points.cloud.offsets_mm) p *= static_cast<float>(scale);
  }
  return points;
}

}  // namespace boxfettle
