// Points and their distances to a surface, under motions so small that each point stays over its triangle: to
// first order in the motion.
#pragma once

#include <Eigen/Core>
#include <span>

#include "geometry/closest_point.hpp"

namespace boxfettle {

// Where each offset of a cloud moves by: linear * offset + constant_mm.
struct OffsetMotion {
  Eigen::Matrix3d linear;
  Eigen::Vector3d constant_mm;
};

// Adds to each distance what the motion of its point makes of it. `offsets_mm[i]` belongs to `hits[i]`, which
// has a triangle; `normals` are of the triangles, of length 1. Computed in float: good to a ten-millionth of
// the motion.
void add_motion(std::span<SurfaceHit> hits, std::span<const Eigen::Vector3f> offsets_mm,
                std::span<const Eigen::Vector3f> normals, const OffsetMotion& motion);

// What distances d of points at offsets o over triangles facing n ask for, each with its biweight w
// (1 - (d / cut)^2)^2, nothing beyond the cut: the sums of w d o n^T and of w d n.
struct Pull {
  Eigen::Matrix3d offset_normal_mm2 = Eigen::Matrix3d::Zero();
  Eigen::Vector3d normal_mm = Eigen::Vector3d::Zero();
};

Pull pull_of(std::span<const SurfaceHit> hits, std::span<const Eigen::Vector3f> offsets_mm,
             std::span<const Eigen::Vector3f> normals, double cut_mm);

}  // namespace boxfettle
