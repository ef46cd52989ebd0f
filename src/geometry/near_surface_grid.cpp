#include "geometry/near_surface_grid.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace boxfettle {
namespace {

Eigen::Vector3f middle(const TriangleMesh& mesh, std::uint32_t t) {
  return ((mesh.corner(t, 0) + mesh.corner(t, 1) + mesh.corner(t, 2)) / 3).cast<float>();
}

// The half of a corner's 26 neighbours that a sweep in reading order has already passed.
std::array<Eigen::Vector3i, 13> passed_neighbours() {
  std::array<Eigen::Vector3i, 13> passed;
  std::size_t count = 0;
  for (int z = -1; z <= 0; ++z)
    for (int y = -1; y <= 1; ++y)
      for (int x = -1; x <= 1; ++x)
        if (z < 0 || y < 0 || (y == 0 && x < 0)) passed[count++] = {x, y, z};
  return passed;
}

}  // namespace

NearSurfaceGrid::NearSurfaceGrid(const TriangleMesh& mesh, const SurfaceIndex& index, double cell_mm,
                                 double margin_mm)
    : index_(index), cell_mm_(cell_mm) {
  const Bounds surface = bounds(mesh);
  low_mm_ = surface.low.array() - margin_mm;
  const Eigen::Vector3d size = surface.high - surface.low + Eigen::Vector3d::Constant(2 * margin_mm);
  for (Eigen::Index k = 0; k < 3; ++k) corners_[k] = static_cast<int>(std::ceil(size[k] / cell_mm)) + 1;
  nearest_.assign(static_cast<std::size_t>(corners_.prod()), no_triangle);
  sow(mesh);
  tell_on(mesh);
}

// Each triangle is offered to the corner nearest to its middle.
void NearSurfaceGrid::sow(const TriangleMesh& mesh) {
  std::vector<float> squared(nearest_.size(), std::numeric_limits<float>::max());
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    const Eigen::Vector3d at = middle(mesh, t).cast<double>();
    const Eigen::Vector3d cells = (at - low_mm_) / cell_mm_;
    const Eigen::Vector3d off = cells.array() - cells.array().round();
    const std::size_t place = place_of(at);
    const auto distance = static_cast<float>(off.squaredNorm());
    if (distance >= squared[place]) continue;
    squared[place] = distance;
    nearest_[place] = t;
  }
}

// Twice over the grid, there and back: each corner asks those already passed what is nearest to them.
void NearSurfaceGrid::tell_on(const TriangleMesh& mesh) {
  const std::array<Eigen::Vector3i, 13> passed = passed_neighbours();
  std::vector<Eigen::Vector3f> known(nearest_.size(), Eigen::Vector3f::Constant(1e18f));
  for (std::size_t i = 0; i < nearest_.size(); ++i)
    if (nearest_[i] != no_triangle) known[i] = middle(mesh, nearest_[i]);
  const auto visit = [&](const Eigen::Vector3i& at, int way) {
    const auto place = static_cast<std::ptrdiff_t>((at.z() * corners_.y() + at.y()) * corners_.x() + at.x());
    const Eigen::Vector3f here = (low_mm_ + cell_mm_ * at.cast<double>()).cast<float>();
    float best = (known[static_cast<std::size_t>(place)] - here).squaredNorm();
    for (const Eigen::Vector3i& step : passed) {
      const Eigen::Vector3i from = at + way * step;
      if ((from.array() < 0).any() || (from.array() >= corners_.array()).any()) continue;
      const auto other =
          static_cast<std::size_t>((from.z() * corners_.y() + from.y()) * corners_.x() + from.x());
      const float distance = (known[other] - here).squaredNorm();
      if (distance >= best) continue;
      best = distance;
      known[static_cast<std::size_t>(place)] = known[other];
      nearest_[static_cast<std::size_t>(place)] = nearest_[other];
    }
  };
  for (int z = 0; z < corners_.z(); ++z)
    for (int y = 0; y < corners_.y(); ++y)
      for (int x = 0; x < corners_.x(); ++x) visit({x, y, z}, 1);
  for (int z = corners_.z(); z-- > 0;)
    for (int y = corners_.y(); y-- > 0;)
      for (int x = corners_.x(); x-- > 0;) visit({x, y, z}, -1);
}

std::size_t NearSurfaceGrid::place_of(const Eigen::Vector3d& point_mm) const {
  std::array<int, 3> at{};
  for (std::size_t k = 0; k < 3; ++k) {
    const auto axis = static_cast<Eigen::Index>(k);
    const double cell =
        std::clamp((point_mm[axis] - low_mm_[axis]) / cell_mm_, 0.0, static_cast<double>(corners_[axis] - 1));
    at[k] = static_cast<int>(cell + 0.5);
  }
  return static_cast<std::size_t>((at[2] * corners_.y() + at[1]) * corners_.x() + at[0]);
}

std::vector<SurfaceHit> NearSurfaceGrid::near(const PointCloud& cloud,
                                              const RigidPose& surface_from_cloud) const {
  std::vector<SurfaceHit> hits(cloud.size());
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const Eigen::Vector3d point = surface_from_cloud * cloud.point_mm(i);
    const std::uint32_t triangle = nearest_[place_of(point)];
    hits[i] = {static_cast<float>(index_.signed_distance_to(triangle, point)), triangle};
  }
  return hits;
}

}  // namespace boxfettle
