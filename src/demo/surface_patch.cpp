#include "demo/surface_patch.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <unordered_map>

namespace boxfettle::demo {
namespace {

using Eigen::Vector3d;

Vector3d nearest_on_segment(const Vector3d& p, const Vector3d& a, const Vector3d& b) {
  const Vector3d length = b - a;
  const double squared = length.squaredNorm();
  return squared > 0 ? Vector3d(a + std::clamp((p - a).dot(length) / squared, 0.0, 1.0) * length) : a;
}

// Straight down onto the triangle where that falls inside it, else onto the nearest of its sides.
Vector3d nearest_on_triangle(const Vector3d& p, const TriangleMesh& mesh, std::size_t t) {
  const Vector3d n = doubled_area_vector(mesh, t);
  bool inside = n.squaredNorm() > 0;
  Vector3d best = mesh.corner(t, 0);
  for (int i = 0; i < 3; ++i) {
    const Vector3d &a = mesh.corner(t, i), &b = mesh.corner(t, (i + 1) % 3);
    inside = inside && (b - a).cross(p - a).dot(n) >= 0;
    const Vector3d on_side = nearest_on_segment(p, a, b);
    if ((on_side - p).squaredNorm() < (best - p).squaredNorm()) best = on_side;
  }
  return inside ? Vector3d(p - (p - mesh.corner(t, 0)).dot(n) / n.squaredNorm() * n) : best;
}

std::vector<Vector3d> nearest_per_triangle(const TriangleMesh& mesh, const Vector3d& p) {
  std::vector<Vector3d> nearest(mesh.triangles.size());
  tbb::parallel_for(std::size_t{0}, nearest.size(),
                    [&](std::size_t t) { nearest[t] = nearest_on_triangle(p, mesh, t); });
  return nearest;
}

std::size_t nearest_of(const std::vector<Vector3d>& places, const Vector3d& p) {
  const auto closer = [&](const Vector3d& a, const Vector3d& b) {
    return (a - p).squaredNorm() < (b - p).squaredNorm();
  };
  return static_cast<std::size_t>(std::min_element(places.begin(), places.end(), closer) - places.begin());
}

}  // namespace

SurfacePatch surface_patch(const TriangleMesh& mesh, const Vector3d& near_mm, double radius_mm) {
  const std::vector<Vector3d> to_given = nearest_per_triangle(mesh, near_mm);
  const std::size_t seed = nearest_of(to_given, near_mm);
  SurfacePatch patch{to_given[seed], std::vector<bool>(mesh.triangles.size(), false)};

  const std::vector<Vector3d> to_centre = nearest_per_triangle(mesh, patch.centre_mm);
  std::unordered_map<std::uint32_t, std::vector<std::size_t>> round_vertex;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    if ((to_centre[t] - patch.centre_mm).norm() <= radius_mm)
      for (const std::uint32_t vertex : mesh.triangles[t]) round_vertex[vertex].push_back(t);

  std::vector<std::size_t> open{seed};
  patch.holds_triangle[seed] = true;
  while (!open.empty()) {
    const std::size_t t = open.back();
    open.pop_back();
    for (const std::uint32_t vertex : mesh.triangles[t])
      for (const std::size_t other : round_vertex[vertex])
        if (!patch.holds_triangle[other]) {
          patch.holds_triangle[other] = true;
          open.push_back(other);
        }
  }
  return patch;
}

}  // namespace boxfettle::demo
