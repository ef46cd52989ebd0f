// A few well spread points with the direction of the surface at each: what pose finding works on.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <span>
#include <vector>

#include "geometry/point_cloud.hpp"
#include "reading/design_surface.hpp"

namespace boxfettle {

struct OrientedPoint {
  Eigen::Vector3d at_mm;
  Eigen::Vector3d normal;  // unit; of a scan its sign means nothing
};

// One point per cube of `spacing_mm` and facing direction, by area over the surface. Outward normals.
std::vector<OrientedPoint> spread_over(const DesignSurface& design, double spacing_mm);

// One point per cube of `spacing_mm`, from a cloud; normals by principal components of the points within
// 0.4 * spacing. Points on sharp edges and stray points have no direction and are left out.
std::vector<OrientedPoint> spread_over(const PointCloud& cloud, double spacing_mm);

// Evenly strided places of the cloud: a fair sample of at most `count` points, in the cloud's order.
PointCloud fair_sample(const PointCloud& cloud, std::size_t count);

// The same in runs of neighbours in the cloud's order, by their numbers: where that order is one of space,
// their nearest places are found several times quicker. 2500 runs of 8 to 48.
std::vector<std::uint32_t> fair_runs(std::size_t points, std::size_t count);

PointCloud points_at(const PointCloud& cloud, std::span<const std::uint32_t> places);

}  // namespace boxfettle
