// Gathers the points of a scan as they are read.
#pragma once

#include <tbb/parallel_for.h>

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <optional>
#include <utility>

#include "geometry/coordinate_check.hpp"
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

  // So many more, told in runs side by side: `tell(first, count, add)` calls add(i, place, normal) for each i
  // of its run, counted from nought; `normal` is called where normals are wanted. Tells the first that is
  // nowhere, if any: then what was gathered is of no use.
  template <typename Tell>
  std::optional<std::size_t> add_many(std::size_t count, bool with_normals, const Tell& tell) {
    constexpr std::size_t run = 8192;
    const std::size_t before = cloud_.size();
    if (count == 0) return std::nullopt;
    if (before == 0)
      tell(0, 1, [&](std::size_t, const Eigen::Vector3d& point, const auto&) {
        cloud_.origin_mm = point.array().round();
      });
    cloud_.offsets_mm.resize(before + count);
    if (with_normals) cloud_.normals.resize(before + count);
    std::atomic<std::size_t> nowhere = count;
    std::atomic<bool> normals_told = normals_told_;
    tbb::parallel_for(std::size_t{0}, (count + run - 1) / run, [&](std::size_t r) {
      const std::size_t first = r * run;
      tell(first, std::min(run, count - first),
           [&](std::size_t i, const Eigen::Vector3d& point, const auto& normal) {
             if (!is_place(point)) note_lower(nowhere, i);
             cloud_.offsets_mm[before + i] = (point - cloud_.origin_mm).template cast<float>();
             if (!with_normals) return;
             const Eigen::Vector3d given = normal();
             if (!is_direction(given)) normals_told = false;
             cloud_.normals[before + i] = given.normalized().template cast<float>();
           });
    });
    normals_told_ = normals_told;
    return nowhere < count ? std::optional(nowhere.load()) : std::nullopt;
  }

  // A scanner that could not tell a normal writes zeros or NaN. A cloud has a normal for every point or none,
  // so one such point ends the use of all normals; its place is still good.
  void add_normal(const Eigen::Vector3d& normal) {
    if (!is_direction(normal)) normals_told_ = false;
    if (normals_told_) cloud_.normals.push_back(normal.normalized().cast<float>());
  }
  void forget_normals() { normals_told_ = false; }
  bool normals_told() const { return normals_told_; }

  std::size_t size() const { return cloud_.size(); }

  PointCloud take() {
    if (!normals_told_ || cloud_.normals.size() != cloud_.size()) cloud_.normals = {};
    return std::move(cloud_);
  }

 private:
  static bool is_direction(const Eigen::Vector3d& normal) {
    const double length = normal.norm();
    return length > 1e-6 && length < 1e6;  // false for NaN
  }
  static void note_lower(std::atomic<std::size_t>& lowest, std::size_t value) {
    std::size_t seen = lowest;
    while (value < seen && !lowest.compare_exchange_weak(seen, value)) {
    }
  }

  PointCloud cloud_;
  bool normals_told_ = true;
};

}  // namespace boxfettle
