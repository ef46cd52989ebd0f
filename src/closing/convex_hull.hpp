// The corners of the tightest convex outline about some places.
#pragma once

#include <Eigen/Core>
#include <span>
#include <vector>

namespace boxfettle {

// Counter-clockwise, without places on the sides. A. M. Andrew, "Another efficient algorithm for convex hulls
// in two dimensions", Information Processing Letters 9 (1979).
std::vector<Eigen::Vector2d> convex_hull(std::span<const Eigen::Vector2d> places_mm);

}  // namespace boxfettle
