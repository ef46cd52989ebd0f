#include "geometry/near_surface_grid.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {

NearSurfaceGrid::NearSurfaceGrid(const SurfaceIndex& index, const Bounds& surface, double cell_mm,
                                 double margin_mm)
    : index_(index), low_mm_(surface.low.array() - margin_mm), cell_mm_(cell_mm) {
  const Eigen::Vector3d size = surface.high - surface.low + Eigen::Vector3d::Constant(2 * margin_mm);
  for (Eigen::Index k = 0; k < 3; ++k) corners_[k] = static_cast<int>(std::ceil(size[k] / cell_mm)) + 1;
  // Corners are visited in small blocks, so that neighbours in the list are neighbours in space.
  PointCloud corners;
  corners.origin_mm = low_mm_;
  std::vector<std::uint32_t> place;
  constexpr int block = 2;
  for (int z = 0; z < corners_.z(); z += block)
    for (int y = 0; y < corners_.y(); y += block)
      for (int x = 0; x < corners_.x(); x += block)
        for (int i = 0; i < block * block * block; ++i) {
          const Eigen::Vector3i at(x + i % block, y + i / block % block, z + i / (block * block));
          if ((at.array() >= corners_.array()).any()) continue;
          corners.offsets_mm.push_back((at.cast<double>() * cell_mm).cast<float>());
          place.push_back(
              static_cast<std::uint32_t>((at.z() * corners_.y() + at.y()) * corners_.x() + at.x()));
        }
  nearest_.resize(place.size());
  const std::vector<SurfaceHit> hits = index.closest(corners, RigidPose{});
  for (std::size_t i = 0; i < hits.size(); ++i) nearest_[place[i]] = hits[i].triangle;
}

std::uint32_t NearSurfaceGrid::triangle_near(const Eigen::Vector3d& point_mm) const {
  std::array<int, 3> at{};
  for (std::size_t k = 0; k < 3; ++k) {
    const auto axis = static_cast<Eigen::Index>(k);
    const double cell =
        std::clamp((point_mm[axis] - low_mm_[axis]) / cell_mm_, 0.0, static_cast<double>(corners_[axis] - 1));
    at[k] = static_cast<int>(cell + 0.5);
  }
  return nearest_[static_cast<std::size_t>((at[2] * corners_.y() + at[1]) * corners_.x() + at[0])];
}

std::vector<SurfaceHit> NearSurfaceGrid::near(const PointCloud& cloud,
                                              const RigidPose& surface_from_cloud) const {
  std::vector<SurfaceHit> hits(cloud.size());
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const Eigen::Vector3d point = surface_from_cloud * cloud.point_mm(i);
    const std::uint32_t triangle = triangle_near(point);
    hits[i] = {static_cast<float>(index_.signed_distance_to(triangle, point)), triangle};
  }
  return hits;
}

}  // namespace boxfettle
