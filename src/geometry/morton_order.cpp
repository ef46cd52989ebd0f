#include "geometry/morton_order.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>

#include "geometry/vector_sort.hpp"

namespace boxfettle {
namespace {

// Spreads the low 10 bits so that two empty bits follow each.
std::uint32_t spread(std::uint32_t v) {
  v = (v | (v << 16)) & 0x030000ffu;
  v = (v | (v << 8)) & 0x0300f00fu;
  v = (v | (v << 4)) & 0x030c30c3u;
  v = (v | (v << 2)) & 0x09249249u;
  return v;
}

// Each point's place along the curve, and below it its number.
std::vector<std::uint64_t> sorted_keys(std::span<const Eigen::Vector3f> points) {
  Eigen::Vector3f low = Eigen::Vector3f::Constant(1e30f), high = Eigen::Vector3f::Constant(-1e30f);
  for (const Eigen::Vector3f& p : points) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  const float side = std::max((high - low).maxCoeff(), 1e-30f);
  const float scale = 1023.0f / side;
  std::vector<std::uint64_t> keys(points.size());
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, points.size(), 16384), [&](const auto& range) {
    for (std::size_t i = range.begin(); i != range.end(); ++i) {
      const Eigen::Vector3f cell = (points[i] - low) * scale;
      const std::uint64_t place = spread(static_cast<std::uint32_t>(cell.x())) |
                                  spread(static_cast<std::uint32_t>(cell.y())) << 1 |
                                  spread(static_cast<std::uint32_t>(cell.z())) << 2;
      keys[i] = place << 32 | i;
    }
  });
  sort_ascending(keys);
  return keys;
}

}  // namespace

std::vector<std::uint32_t> morton_order(std::span<const Eigen::Vector3f> points) {
  const std::vector<std::uint64_t> keys = sorted_keys(points);
  std::vector<std::uint32_t> order(keys.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = static_cast<std::uint32_t>(keys[i]);
  return order;
}

PointCloud in_morton_order(const PointCloud& cloud) {
  const std::vector<std::uint64_t> keys = sorted_keys(cloud.offsets_mm);
  const auto in_order = [&](const std::vector<Eigen::Vector3f>& values) {
    std::vector<Eigen::Vector3f> sorted(values.size());
    tbb::parallel_for(tbb::blocked_range<std::size_t>(0, sorted.size(), 16384), [&](const auto& range) {
      for (std::size_t i = range.begin(); i != range.end(); ++i) {
        constexpr std::size_t ahead = 32;  // these reads jump about: memory is asked early
        if (i + ahead < range.end()) __builtin_prefetch(&values[static_cast<std::uint32_t>(keys[i + ahead])]);
        sorted[i] = values[static_cast<std::uint32_t>(keys[i])];
      }
    });
    return sorted;
  };
  return {cloud.origin_mm, in_order(cloud.offsets_mm), in_order(cloud.normals)};
}

}  // namespace boxfettle
