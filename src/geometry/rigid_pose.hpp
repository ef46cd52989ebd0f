// Where one frame stands in another: a rotation and a shift. Names read destination first: design_from_scan.
#pragma once

#include <Eigen/Geometry>

namespace boxfettle {

struct RigidPose {
  Eigen::Matrix3d rotation = Eigen::Matrix3d::Identity();
  Eigen::Vector3d translation_mm = Eigen::Vector3d::Zero();

  Eigen::Vector3d operator*(const Eigen::Vector3d& point) const { return rotation * point + translation_mm; }
  RigidPose operator*(const RigidPose& other) const {  // a_from_b * b_from_c = a_from_c
    return {rotation * other.rotation, rotation * other.translation_mm + translation_mm};
  }
  bool operator==(const RigidPose&) const = default;
  RigidPose inverse() const { return {rotation.transpose(), -(rotation.transpose() * translation_mm)}; }
};

// The pose that turns about `pivot_mm` by the rotation vector (rad) and then shifts.
RigidPose small_motion(const Eigen::Vector3d& rotation_vector, const Eigen::Vector3d& shift_mm,
                       const Eigen::Vector3d& pivot_mm);

// Axis times angle (rad) of a rotation matrix.
Eigen::Vector3d rotation_vector(const Eigen::Matrix3d& rotation);

}  // namespace boxfettle
