// How flat a set of points is: the least squares plane, and the narrowest slab of space that holds them all.
#pragma once

#include <Eigen/Core>
#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace boxfettle {

struct FacePoint {
  Eigen::Vector2d at_mm;
  double height_mm;
};

struct SlopedPlane {
  double height_mm = 0;  // at (0, 0)
  Eigen::Vector2d slope = {0, 0};

  double at(const Eigen::Vector2d& p) const { return height_mm + slope.dot(p); }
};

// Least squares of the heights; for a face that leans by less than a degree that is the least squares of the
// distances to better than one in a thousand. At least three points, not in one line.
SlopedPlane least_squares_plane(std::span<const FacePoint> points);

// Standard deviations of a least squares plane: of its height at one place and of its slopes.
struct PlaneDoubt {
  double height_mm = 0;
  Eigen::Vector2d slope = {0, 0};
};

// The points' heights are counted from whatever describes them best (the plane itself, or a form beyond it).
// They are summed over blocks before they are squared (a sandwich): noise that neighbours share counts once.
// Of blocks of 12, 24 and 48 mm those that claim least are believed. At least seven points, not in one line.
PlaneDoubt plane_doubt(std::span<const FacePoint> off_form, const Eigen::Vector2d& at_mm);

// Between the two planes parallel to `plane` that just hold the points, square to it.
double peak_to_valley_mm(std::span<const FacePoint> points, const SlopedPlane& plane);

// The narrowest pair of parallel planes that holds the points, measured along the height and then square to
// the planes: exact for the former, and the slope enters the latter by its square only. Least over planes of
// (max - min) is a linear programme; at its optimum four points touch, three against one or two against two,
// and by duality no set of four needs more room than the whole set. Exchange: take in the point that sticks
// out most, drop the one of the four that leaves most, until none sticks out.
struct MinimumZone {
  SlopedPlane middle;
  double width_mm = 0;
  std::array<std::uint32_t, 4> touching = {0, 0, 0, 0};  // numbers of points
  std::array<double, 4> share = {0, 0, 0,
                                 0};  // width (along height) = sum of share * height of the touching points
  double slant = 1;                   // width square to the planes / width along the height
};

// Fewer than four points, or all in one line: width 0.
MinimumZone minimum_zone(std::span<const FacePoint> points);

}  // namespace boxfettle
