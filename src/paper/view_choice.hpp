// From where to look at a core so that two pictures, from opposite sides, show as much as two can.
#pragma once

#include <Eigen/Core>

#include "reading/scan_reading.hpp"

namespace boxfettle {

struct OppositeViews {
  Eigen::Vector3d toward_eye;  // of the first; the second looks from the other side
  Eigen::Vector3d upward;      // upright in both
};

// `across` (unit) points from the lower into the upper half: the first view looks down on the upper half, the
// second up at the lower. Tried are directions all round at a few heights; the one wins whose two pictures
// show most of the findings, then most of the surface.
OppositeViews chosen_views(const ScanReading& reading, const Eigen::Vector3d& across);

// Where no parting face is known: the direction in which the core is thinnest.
Eigen::Vector3d thinnest_direction(const TriangleMesh& mesh);

}  // namespace boxfettle
