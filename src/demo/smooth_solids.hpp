// The few solids the invented cores are made of, as signed distances (mm, negative inside) or bounds close to
// one.
#pragma once

#include <Eigen/Core>

namespace boxfettle::demo {

// Union and common part of two solids, the corner between them rounded over about `blend_mm`. No steeper than
// they are.
double blended(double one, double other, double blend_mm);
double common(double one, double other, double blend_mm);

// A bar of round section between two points, flat ends, its edges rounded by `round_mm`.
double rod(const Eigen::Vector3d& p, const Eigen::Vector3d& from_mm, const Eigen::Vector3d& to_mm,
           double radius_mm, double round_mm);

// A bar between two points whose radius changes evenly and whose ends are half balls.
double taper(const Eigen::Vector3d& p, const Eigen::Vector3d& from_mm, const Eigen::Vector3d& to_mm,
             double from_radius_mm, double to_radius_mm);

// A brick along the axes, its edges rounded by `round_mm`.
double brick(const Eigen::Vector3d& p, const Eigen::Vector3d& centre_mm, const Eigen::Vector3d& half_sides_mm,
             double round_mm);

}  // namespace boxfettle::demo
