// A scan as points in mm, whatever it came as.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "geometry/length_unit.hpp"
#include "geometry/point_cloud.hpp"
#include "geometry/triangle_mesh.hpp"
#include "reading/design_surface.hpp"

namespace boxfettle {

struct ScanPoints {
  PointCloud cloud;  // mm, in Morton order
  LengthUnit unit;
  std::vector<std::string> notes;
};

// In Morton order, in the scan's own unit. A mesh gives its corners, and points inside the triangles that are
// large against the rest, so that flat places count by their area.
PointCloud points_in_order(const std::variant<TriangleMesh, PointCloud>& scan);

// `cloud` as points_in_order() gives it, in mm. The unit, when not given, is the one in which the scan comes
// nearest to the design's size; a given unit that makes the scan more than three times too large or too small
// is an InputError, as are fewer than 100 points.
ScanPoints scan_points(PointCloud cloud, const DesignSurface& design, std::optional<LengthUnit> given);

}  // namespace boxfettle
