#include "geometry/morton_order.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>

#include "geometry/vector_sort.hpp"

namespace boxfettle {
namespace {

constexpr int cells_a_side = 1024;

// Of each cell along an axis: its bits spread so that two empty bits follow each.
constexpr std::array<std::uint32_t, cells_a_side> spread = [] {
  std::array<std::uint32_t, cells_a_side> all{};
  for (std::uint32_t cell = 0; cell < cells_a_side; ++cell)
    for (int bit = 0; bit < 10; ++bit) all[cell] |= (cell >> bit & 1) << 3 * bit;
  return all;
}();

struct Corners {
  Eigen::Vector3f low, high;
};

// Four points at a time, which vectors do at once.
Corners corners_of(std::span<const Eigen::Vector3f> points) {
  using Four = Eigen::Array<float, 3, 4>;
  Four low = Four::Constant(1e30f), high = Four::Constant(-1e30f);
  std::size_t i = 0;
  for (; i + 4 <= points.size(); i += 4) {
    const Four four = Eigen::Map<const Four>(points[i].data());
    low = low.min(four);
    high = high.max(four);
  }
  Corners corners{low.rowwise().minCoeff(), high.rowwise().maxCoeff()};
  for (; i < points.size(); ++i) {
    corners.low = corners.low.cwiseMin(points[i]);
    corners.high = corners.high.cwiseMax(points[i]);
  }
  return corners;
}

// Each point's place along the curve, and below it its number.
std::vector<std::uint64_t> sorted_keys(std::span<const Eigen::Vector3f> points) {
  const Corners corners = corners_of(points);
  const float side = std::max((corners.high - corners.low).maxCoeff(), 1e-30f);
  const float scale = static_cast<float>(cells_a_side - 1) / side;
  std::vector<std::uint64_t> keys(points.size());
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, points.size(), 16384), [&](const auto& range) {
    for (std::size_t i = range.begin(); i != range.end(); ++i) {
      const Eigen::Vector3i cell =
          ((points[i] - corners.low) * scale).cast<int>().cwiseMax(0).cwiseMin(cells_a_side - 1);
      const auto along = [&](Eigen::Index axis) { return spread[static_cast<std::size_t>(cell[axis])]; };
      const std::uint64_t place = along(0) | along(1) << 1 | along(2) << 2;
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
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, order.size(), 16384), [&](const auto& range) {
    for (std::size_t i = range.begin(); i != range.end(); ++i) order[i] = static_cast<std::uint32_t>(keys[i]);
  });
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
