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

// A mesh gives its corners, and points inside the triangles that are large against the rest, so that flat
// places count by their area. The unit, when not given, is the one in which the scan comes nearest to the
// design's size; a given unit that makes the scan more than three times too large or too small is an
// InputError.
ScanPoints scan_points(const std::variant<TriangleMesh, PointCloud>& scan, const DesignSurface& design,
                       std::optional<LengthUnit> given);

}  // namespace boxfettle
