// Points measured on a surface, in no order. Lengths in mm.
#pragma once

#include <Eigen/Core>
#include <vector>

namespace boxfettle {

// Coordinates are floats relative to a double origin: 12 bytes a point, and a scan exported in machine
// coordinates a metre from zero still keeps better than 0.0001 mm.
struct PointCloud {
  Eigen::Vector3d origin_mm = Eigen::Vector3d::Zero();
  std::vector<Eigen::Vector3f> offsets_mm;  // point = origin_mm + offset
  std::vector<Eigen::Vector3f> normals;     // unit, outward; either empty or one per point

  std::size_t size() const { return offsets_mm.size(); }
  Eigen::Vector3d point_mm(std::size_t i) const { return origin_mm + offsets_mm[i].cast<double>(); }
};

}  // namespace boxfettle
