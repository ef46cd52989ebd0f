#include "geometry/rigid_pose.hpp"

namespace boxfettle {

RigidPose small_motion(const Eigen::Vector3d& rotation_vector, const Eigen::Vector3d& shift_mm,
                       const Eigen::Vector3d& pivot_mm) {
  const double angle = rotation_vector.norm();
  RigidPose pose;
  if (angle > 0) pose.rotation = Eigen::AngleAxisd(angle, rotation_vector / angle).toRotationMatrix();
  pose.translation_mm = pivot_mm - pose.rotation * pivot_mm + shift_mm;
  return pose;
}

Eigen::Vector3d rotation_vector(const Eigen::Matrix3d& rotation) {
  const Eigen::AngleAxisd turn(rotation);
  return turn.angle() * turn.axis();
}

}  // namespace boxfettle
