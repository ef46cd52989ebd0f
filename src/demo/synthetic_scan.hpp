// A scan of a core from a box with known faults, so that tests know the truth.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <vector>

#include "corebox/core_box.hpp"
#include "geometry/point_cloud.hpp"
#include "geometry/rigid_pose.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle::demo {

// Extra metal lost (positive: wear) or stuck material (negative: build-up): a smooth bump on the design
// surface, depth * cos^2(pi/2 * distance / radius) along the outward normal.
struct FaultPatch {
  Eigen::Vector3d centre_mm;  // near the design surface; the nearest surface point is the centre
  double radius_mm;
  double depth_mm;
};

// Loose piece left out or wrong: every surface point of its region moves by this along its outward normal.
struct PieceFault {
  Eigen::Vector3d region_min_mm, region_max_mm;
  double shift_mm;
};

struct BoxFaults {
  Eigen::Vector2d mismatch_mm = {
      0, 0};  // upper half relative to lower, along the parting face's axes, at the parting point
  double rotation_deg = 0;            // about the parting normal through the parting point
  double gap_mm = 0;                  // opening at the parting point
  Eigen::Vector2d tilt_deg = {0, 0};  // about the parting face's axes through the parting point
  std::vector<FaultPatch> patches = {};
  std::vector<PieceFault> pieces = {};
};

struct Scanner {
  std::size_t points = 400000;      // of the whole surface and the outliers, before a side is cut away
  double noise_mm = 0.05;           // one standard deviation, along the normal, per point
  double noise_correlation_mm = 0;  // > 0: that part of the noise is shared over this distance
  double correlated_noise_mm = 0;
  double outlier_fraction = 0;  // points spread through a box around the part, 1.5 times its size
  double unseen_fraction =
      0;                 // of the surface's points, cut away from one side (the table's, where there is one)
  bool table = false;    // a table just touching the part is in the scan: 15 % more points
  bool normals = false;  // unit normals of the scanned surface go into the cloud
  bool arbitrary_pose = true;  // turned and shifted at random; else scan == design frame
  std::uint64_t seed = 1;
};

struct SyntheticScan {
  PointCloud points;
  RigidPose scan_from_design;  // where the lower half's design frame lies in the scan
  // The truth in the terms of HalvesReading is BoxFaults itself, taken to another centroid by the caller if
  // need be.
};

// The same for the same seed, whatever the number of threads. Sampled evenly over the design's area; every
// displacement is along the normal of the triangle the point lies on. A patch stays on the sheet of surface
// it is centred on.
SyntheticScan scan_core(const TriangleMesh& design, const PartingFace& parting, const BoxFaults& faults,
                        const Scanner& scanner);

}  // namespace boxfettle::demo
