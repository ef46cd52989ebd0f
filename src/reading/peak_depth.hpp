// How deep a patch is at its deepest, from the points about it.
//
// A single cell's mean is blunt (it averages over the cell) and biased (the deepest of many noisy means). A
// quadric through the points near the peak uses them all and follows the slope.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>

namespace boxfettle {

struct PatchPoint {
  Eigen::Vector3d at_mm;
  double deviation_mm;
};

struct PeakDepth {
  Eigen::Vector3d at_mm;
  double depth_mm;  // signed
  double u95_mm;
};

// `points` lie within about `radius_mm` of `peak_mm`, all of one patch. Empty when they are too few or too
// unevenly spread for a quadric. `noise_mm` is of single points, `drift_mm` what they share.
std::optional<PeakDepth> peak_depth(std::span<const PatchPoint> points, const Eigen::Vector3d& peak_mm,
                                    double radius_mm, double noise_mm, double drift_mm);

// The same at the spot given, no summit sought: what a place that is followed over the years is compared by.
std::optional<PeakDepth> depth_at(std::span<const PatchPoint> points, const Eigen::Vector3d& at_mm,
                                  double radius_mm, double noise_mm, double drift_mm);

// One step toward the summit, by half of the radius at most; from a start well off it takes a few. Empty as
// above, and where the points have no summit.
std::optional<Eigen::Vector3d> toward_summit(std::span<const PatchPoint> points,
                                             const Eigen::Vector3d& from_mm, double radius_mm);

}  // namespace boxfettle
