// Where a surface meets a plane.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <vector>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

struct SectionLine {
  std::vector<Eigen::Vector3d> points_mm;
  std::vector<std::uint32_t> triangles;  // triangles[i] carries the piece from point i to the next
  bool closed = false;
};

// The plane holds the points where normal . x == offset_mm; `normal` is unit. Lines run with the solid on
// their left, seen against the normal. A vertex exactly in the plane counts as above it, so a closed surface
// gives closed lines only.
std::vector<SectionLine> plane_section(const TriangleMesh& mesh, const Eigen::Vector3d& normal,
                                       double offset_mm);

// Area and centroid of what closed lines enclose (holes run the other way round and subtract).
struct SectionArea {
  double area_mm2 = 0;
  Eigen::Vector3d centroid_mm = Eigen::Vector3d::Zero();
};
SectionArea section_area(const std::vector<SectionLine>& lines, const Eigen::Vector3d& normal);

}  // namespace boxfettle
