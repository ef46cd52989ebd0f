// The smooth form of a parting face: what warping, tilting and even wear do, and dents and burrs do not.
#pragma once

#include <Eigen/Core>
#include <span>

#include "reading/flatness.hpp"

namespace boxfettle {

// A polynomial of the third degree in the two directions of the face, fitted so that places that stray from
// it do not pull (Tukey's biweight, as pose_fit does).
class FaceForm {
 public:
  // Fewer than 60 points: a plane.
  explicit FaceForm(std::span<const FacePoint> points);

  double at(const Eigen::Vector2d& p) const;
  double scale_mm() const { return scale_mm_; }  // robust standard deviation of the points about it

 private:
  Eigen::VectorXd terms(const Eigen::Vector2d& p) const;

  Eigen::Vector2d middle_mm_ = Eigen::Vector2d::Zero();
  double reach_mm_ = 1;
  bool plane_ = false;
  Eigen::VectorXd factors_;
  double scale_mm_ = 0;
};

}  // namespace boxfettle
