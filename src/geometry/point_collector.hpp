// Gathers the points of a scan as they are read.
#pragma once

#include <cmath>

#include "geometry/point_cloud.hpp"

namespace boxfettle {

class PointCollector {
 public:
  void reserve(std::size_t points, bool with_normals) {
    cloud_.offsets_mm.reserve(points);
    if (with_normals) cloud_.normals.reserve(points);
  }

  void add(const Eigen::Vector3d& point_mm) {
    // Rounded, so that the origin itself is exact in any text and adds no digits to the offsets.
    if (cloud_.offsets_mm.empty()) cloud_.origin_mm = point_mm.array().round();
    cloud_.offsets_mm.push_back((point_mm - cloud_.origin_mm).cast<float>());
  }

  // A scanner that could not tell a normal writes zeros or NaN. A cloud has a normal for every point or none,
  // so one such point ends the use of all normals; its place is still good.
  void add_normal(const Eigen::Vector3d& normal) {
    const double length = normal.norm();
    if (!(length > 1e-6 && length < 1e6)) normals_told_ = false;
    if (normals_told_) cloud_.normals.push_back((normal / length).cast<float>());
  }
  void forget_normals() { normals_told_ = false; }
  bool normals_told() const { return normals_told_; }

  std::size_t size() const { return cloud_.size(); }

  PointCloud take() {
    if (!normals_told_ || cloud_.normals.size() != cloud_.size()) cloud_.normals = {};
    return std::move(cloud_);
  }

 private:
  PointCloud cloud_;
  bool normals_told_ = true;
};

}  // namespace boxfettle
