// How deep a place that is already known stands in another scan: measured at the same spot whether or not
// that scan alone would call it a finding, so that a series has no holes but those of the scans themselves.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "reading/measured_points.hpp"
#include "reading/peak_depth.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

struct KnownPlace {
  Eigen::Vector3d at_mm;             // where the depth is asked for
  double radius_mm;                  // points further away do not count
  std::vector<bool> holds_triangle;  // of the surface: keeps to one sheet of a thin wall
};

// The place of a finding that has an area.
KnownPlace place_of(const Finding& finding, const TriangleMesh& surface);

// What a scan has there, strays left out.
std::vector<PatchPoint> points_at(const KnownPlace& place, const MeasuredPoints& measured);

// The place with its spot moved to the summit of a quadric through all these scans' points together: one
// scan's own summit can be off by a tenth of the patch.
KnownPlace centred(KnownPlace place, std::span<const MeasuredPoints* const> scans);

struct PlaceDepth {
  double depth_mm, u95_mm;
};

// Empty when the scan has too few points there or they do not surround the spot.
std::optional<PlaceDepth> depth_of(const KnownPlace& place, const MeasuredPoints& measured);

}  // namespace boxfettle
