// From where to look at a core, or into a half of its box, so that two pictures show as much as two can.
#pragma once

#include <Eigen/Core>

#include "reading/scan_reading.hpp"

namespace boxfettle {

struct TwoViews {
  Eigen::Vector3d first_to_eye, second_to_eye;  // unit
  Eigen::Vector3d upward;                       // upright in both
};

// Of a core `across` (unit) points from the lower into the upper half: the first view looks down on the upper
// half, the second the opposite way, up at the lower. Of a half it points out of the tool: both look into it,
// from opposite sides. Tried are directions all round at a few heights; those win whose two pictures show most
// of the findings, then most of the surface.
TwoViews chosen_views(const ScanReading& reading, const Eigen::Vector3d& across);

// Where no parting face is known: the direction in which the core is thinnest.
Eigen::Vector3d thinnest_direction(const TriangleMesh& mesh);

}  // namespace boxfettle
