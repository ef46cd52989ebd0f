// An order of points in which neighbours in the list are neighbours in space.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <span>
#include <vector>

#include "geometry/point_cloud.hpp"

namespace boxfettle {

// Places of the points sorted along a Morton curve of 2^10 cells a side over their bounds. Stable.
std::vector<std::uint32_t> morton_order(std::span<const Eigen::Vector3f> points);

PointCloud in_morton_order(const PointCloud& cloud);

}  // namespace boxfettle
