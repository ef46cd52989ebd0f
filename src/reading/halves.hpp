// The two halves, each laid on its own side of the design, and what is left between them.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "corebox/core_box.hpp"
#include "geometry/point_cloud.hpp"
#include "reading/pose_fit.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

// A fair sample of the scan points that lie on one half of the core, in the scan's frame, each with its place
// on the design with the core laid as a whole.
struct KnownPoints {
  PointCloud cloud;
  std::vector<SurfaceHit> hits;
};
struct HalfPoints {
  KnownPoints lower, upper;
  RigidPose whole;  // design_from_scan by which the hits were found
};

struct HalfPoses {
  RigidPose lower, upper;  // design_from_scan of each half
};

struct HalvesFit {
  PoseFit lower, upper;  // surface_from_points = design_from_scan of that half alone
  HalvesReading reading;
};

// Good to some hundredths of a millimetre: by the planes of the triangles known. A half without points stays.
HalfPoses roughly_laid_halves(const SurfaceIndex& design, const HalfPoints& points, const HalfPoses& start,
                              const Eigen::Vector3d& centroid_mm);

// `outline` is the section of the design at the parting face: where the worst mismatch is looked for.
HalvesFit fit_halves(const SurfaceIndex& design, const HalfPoints& points, const HalfPoses& start,
                     const PartingFace& parting, const std::vector<Eigen::Vector3d>& outline,
                     const Eigen::Vector3d& centroid_mm, const Limits& limits);

}  // namespace boxfettle
