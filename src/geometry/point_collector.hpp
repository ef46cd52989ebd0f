// Gathers the points of a scan as they are read.
#pragma once

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

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

  // `place(i)` of the i-th of so many more, asked side by side. Tells the first that is nowhere, if any: then
  // what was gathered is of no use.
  template <typename Place>
  std::optional<std::size_t> add_many(std::size_t count, const Place& place) {
    const std::size_t before = cloud_.size();
    if (count == 0) return std::nullopt;
    if (before == 0) cloud_.origin_mm = place(0).array().round();
    cloud_.offsets_mm.resize(before + count);
    std::atomic<std::size_t> nowhere = count;
    each_of(count, [&](std::size_t i) {
      const Eigen::Vector3d point = place(i);
      if (!is_place(point)) note_lower(nowhere, i);
      cloud_.offsets_mm[before + i] = (point - cloud_.origin_mm).template cast<float>();
    });
    return nowhere < count ? std::optional(nowhere.load()) : std::nullopt;
  }

  // As many as points, as add_normal takes them.
  template <typename Normal>
  void add_many_normals(std::size_t count, const Normal& normal) {
    const std::size_t before = cloud_.normals.size();
    cloud_.normals.resize(before + count);
    std::atomic<bool> told = normals_told_;
    each_of(count, [&](std::size_t i) {
      const Eigen::Vector3d given = normal(i);
      if (!is_direction(given)) told = false;
      cloud_.normals[before + i] = given.normalized().template cast<float>();
    });
    normals_told_ = told;
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
  template <typename Work>
  static void each_of(std::size_t count, const Work& work) {
    tbb::parallel_for(tbb::blocked_range<std::size_t>(0, count, 16384), [&](const auto& range) {
      for (std::size_t i = range.begin(); i != range.end(); ++i) work(i);
    });
  }

  PointCloud cloud_;
  bool normals_told_ = true;
};

}  // namespace boxfettle
