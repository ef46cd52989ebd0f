// Feeler readings about a parting face, and the opening between them: a plane, and warp where the readings
// show it.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace boxfettle {

struct FeelerReading {
  Eigen::Vector2d at_parting_mm;
  double opening_mm;
};

struct FeelerSettings {
  // A leaf that goes in and the next that does not bracket the opening: with leaves 0.05 mm apart a reading
  // stands for anything within 0.05 mm, a standard deviation of 0.05 / sqrt(12).
  double leaf_step_mm = 0.05;
  double warp_significance = 0.05;  // warp is told when an F test at this level prefers it to the plane
};

// The opening as a polynomial in place: a plane, or with warp x^2, xy and y^2 besides.
class GapField {
 public:
  // Told from three readings on that do not stand in one line.
  GapField(std::span<const FeelerReading> readings, const FeelerSettings& settings = {});

  bool told() const { return told_; }
  const std::string& why_not() const { return why_not_; }

  double opening_mm(const Eigen::Vector2d& place_mm) const;  // may come out below 0 where the halves touch
  double u95_mm(const Eigen::Vector2d& place_mm) const;  // half the 95 % interval of the mean opening there
  bool warped() const { return warped_; }
  double warp_mm() const {
    return warp_mm_;
  }  // most that the readings' warp departs from the plane, among them
  double offset_mm() const { return plane_(0); }                    // of the plane, at the face's own origin
  Eigen::Vector2d slope() const { return {plane_(1), plane_(2)}; }  // of the plane, mm per mm
  double scatter_mm() const { return scatter_mm_; }  // standard deviation of a reading about the field

 private:
  Eigen::VectorXd terms(const Eigen::Vector2d& place_mm) const;

  bool told_ = false;
  std::string why_not_;
  bool warped_ = false;
  double warp_mm_ = 0, scatter_mm_ = 0, quantile_ = 0;
  Eigen::Vector2d middle_ = {0, 0};
  double scale_ = 1;
  Eigen::Vector3d plane_ = {0, 0, 0};
  Eigen::VectorXd fitted_;
  Eigen::MatrixXd covariance_;
};

}  // namespace boxfettle
