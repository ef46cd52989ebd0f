#include "reading/table_plane.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <random>
#include <utility>

namespace boxfettle {
namespace {

using Points = std::vector<Eigen::Vector3d>;

struct Plane {
  Eigen::Vector3d normal;
  double offset_mm;
  double height_mm(const Eigen::Vector3d& p) const { return normal.dot(p) - offset_mm; }
};

// About `most` of the points that `wanted` accepts, in design coordinates.
template <typename Wanted>
Points sample(const PointCloud& cloud, const std::vector<SurfaceHit>& hits, const RigidPose& pose,
              std::size_t most, const Wanted& wanted) {
  const std::size_t count = static_cast<std::size_t>(std::count_if(hits.begin(), hits.end(), wanted));
  const std::size_t stride = std::max<std::size_t>(count / most, 1);
  Points points;
  std::size_t seen = 0;
  for (std::size_t i = 0; i < hits.size(); ++i)
    if (wanted(hits[i]) && seen++ % stride == 0) points.push_back(pose * cloud.point_mm(i));
  return points;
}

std::size_t near(const Points& points, const Plane& plane, double within_mm) {
  return static_cast<std::size_t>(std::count_if(points.begin(), points.end(), [&](const Eigen::Vector3d& p) {
    return std::abs(plane.height_mm(p)) < within_mm;
  }));
}

std::optional<Plane> through(const Eigen::Vector3d& a, const Eigen::Vector3d& b, const Eigen::Vector3d& c) {
  const Eigen::Vector3d across = (b - a).cross(c - a);
  if (across.norm() < 1e-9 * (b - a).norm() * (c - a).norm() || across.norm() == 0) return std::nullopt;
  const Eigen::Vector3d normal = across.normalized();
  return Plane{normal, normal.dot(a)};
}

// Least squares through the points near `plane`.
Plane refined(const Points& points, const Plane& plane, double within_mm) {
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  Eigen::Matrix3d squares = Eigen::Matrix3d::Zero();
  double count = 0;
  for (const Eigen::Vector3d& p : points) {
    if (std::abs(plane.height_mm(p)) > within_mm) continue;
    sum += p;
    squares += p * p.transpose();
    ++count;
  }
  const Eigen::Vector3d centre = sum / count;
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> axes(squares / count - centre * centre.transpose());
  Eigen::Vector3d normal = axes.eigenvectors().col(0);
  if (normal.dot(plane.normal) < 0) normal = -normal;
  return {normal, normal.dot(centre)};
}

Plane fullest_plane(const Points& points, double within_mm) {
  constexpr int tries = 300;
  std::mt19937_64 random(20260507);
  std::pair<std::size_t, Plane> best{0, {Eigen::Vector3d::UnitZ(), 0}};
  for (int i = 0; i < tries; ++i) {
    const auto pick = [&]() -> const Eigen::Vector3d& { return points[random() % points.size()]; };
    const Eigen::Vector3d &a = pick(), &b = pick(), &c = pick();
    const std::optional<Plane> plane = through(a, b, c);
    if (!plane) continue;
    const std::size_t holds = near(points, *plane, within_mm);
    if (holds > best.first) best = {holds, *plane};
  }
  return best.second;
}

// 1.4826 * median |height| of what lies within the search's thickness.
double scatter_mm(const Points& points, const Plane& plane, double within_mm) {
  std::vector<double> sizes;
  for (const Eigen::Vector3d& p : points)
    if (const double h = std::abs(plane.height_mm(p)); h < within_mm) sizes.push_back(h);
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return 1.4826 * *middle;
}

}  // namespace

std::optional<TablePlane> table_plane(const PointCloud& cloud, const std::vector<SurfaceHit>& hits,
                                      const RigidPose& design_from_scan) {
  constexpr double holds_of_far = 0.25, holds_of_all = 0.01, part_on_one_side = 0.995;
  constexpr double search_mm = 0.6;  // rough tables and rough scanners stay within this of a plane
  constexpr float surely_part_mm = 1;
  const auto is_far = [](const SurfaceHit& hit) { return hit.triangle == no_triangle; };
  const Points far = sample(cloud, hits, design_from_scan, 4000, is_far);
  if (far.size() < 200) return std::nullopt;
  const Plane found = refined(far, fullest_plane(far, search_mm), search_mm);
  const double holds = static_cast<double>(near(far, found, search_mm)) / static_cast<double>(far.size());
  const double far_share =
      static_cast<double>(std::count_if(hits.begin(), hits.end(), is_far)) / static_cast<double>(hits.size());
  if (holds < holds_of_far || holds * far_share < holds_of_all) return std::nullopt;

  const double thickness = std::clamp(5 * scatter_mm(far, found, search_mm), 0.1, search_mm);
  double above = 0, below = 0;
  const auto is_part = [](const SurfaceHit& hit) { return std::abs(hit.signed_mm) < surely_part_mm; };
  for (const Eigen::Vector3d& p : sample(cloud, hits, design_from_scan, 4000, is_part)) {
    const double h = found.height_mm(p);
    if (std::abs(h) > thickness) ++(h > 0 ? above : below);
  }
  if (std::max(above, below) < part_on_one_side * (above + below)) return std::nullopt;
  const double way = above >= below ? 1 : -1;
  return TablePlane{way * found.normal, way * found.offset_mm, thickness};
}

std::size_t keep_the_part(PointCloud& cloud, std::vector<SurfaceHit>& hits, const RigidPose& design_from_scan,
                          const std::optional<TablePlane>& table) {
  const auto is_of_the_part = [&](std::size_t i) {
    return hits[i].triangle != no_triangle &&
           !(table && table->normal.dot(design_from_scan * cloud.point_mm(i)) - table->offset_mm <
                          table->thickness_mm);
  };
  std::size_t kept = 0;
  while (kept < hits.size() && is_of_the_part(kept)) ++kept;  // often all: nothing need be moved
  for (std::size_t i = kept; i < hits.size(); ++i) {
    if (!is_of_the_part(i)) continue;
    cloud.offsets_mm[kept] = cloud.offsets_mm[i];
    if (!cloud.normals.empty()) cloud.normals[kept] = cloud.normals[i];
    hits[kept++] = hits[i];
  }
  const std::size_t cut = hits.size() - kept;
  cloud.offsets_mm.resize(kept);
  if (!cloud.normals.empty()) cloud.normals.resize(kept);
  hits.resize(kept);
  return cut;
}

}  // namespace boxfettle
