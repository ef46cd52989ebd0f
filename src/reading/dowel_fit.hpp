// A round or slotted dowel from points on its wall: least squares of the distances to a cylinder that may
// lean a little, or to a slot with round ends.
#pragma once

#include <Eigen/Core>
#include <span>

namespace boxfettle {

struct WallPoint {
  Eigen::Vector2d at_mm;
  double height_mm;  // over the face the dowel stands in
};

// The outline of a dowel at height 0 and how it moves with height. `straight_mm` 0 is a circle.
struct DowelShape {
  Eigen::Vector2d at_mm = {0, 0};
  double radius_mm = 1;
  Eigen::Vector2d lean = {0, 0};  // mm along the face per mm of height
  double axis_rad = 0;            // direction of a slot
  double straight_mm = 0;         // half the length of a slot's straight walls

  double distance_mm(const WallPoint& p) const;  // positive outside the outline
};

struct DowelFitSettings {
  bool lean = true;    // may lean: needs walls some mm high
  bool slot = false;   // its direction is sought too
  bool ends = false;   // of a slot: its length and its place along its axis are sought too
  bool robust = true;  // Tukey's biweight, as pose_fit; false: plain least squares
  int most_iterations = 50;
};

struct DowelFit {
  DowelShape shape;
  Eigen::Matrix2d at_covariance = Eigen::Matrix2d::Zero();
  double radius_sd_mm = 0;
  double scale_mm = 0;  // robust standard deviation of the distances
  std::size_t points_used = 0, blocks = 0;
  bool converged = false;
};

// Gauss-Newton from `start`. The covariance is a sandwich over blocks of 3 mm, so that what neighbours share
// (an oval bore, a scored pin) counts once and not per point.
DowelFit fit_dowel(std::span<const WallPoint> points, const DowelShape& start,
                   const DowelFitSettings& settings = {});

}  // namespace boxfettle
