#include "geometry/morton_order.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <array>
#include <utility>

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

struct Keyed {
  std::uint32_t key, place;
};

void sort_by_digit(const std::vector<Keyed>& from, std::vector<Keyed>& to, int shift, int bits) {
  const std::uint32_t mask = (1u << bits) - 1;
  std::vector<std::uint32_t> start((std::size_t{1} << bits) + 1, 0);
  for (const Keyed& k : from) ++start[((k.key >> shift) & mask) + 1];
  for (std::size_t d = 1; d < start.size(); ++d) start[d] += start[d - 1];
  for (const Keyed& k : from) to[start[(k.key >> shift) & mask]++] = k;
}

}  // namespace

std::vector<std::uint32_t> morton_order(std::span<const Eigen::Vector3f> points) {
  Eigen::Vector3f low = Eigen::Vector3f::Constant(1e30f), high = Eigen::Vector3f::Constant(-1e30f);
  for (const Eigen::Vector3f& p : points) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  const float side = std::max((high - low).maxCoeff(), 1e-30f);
  const float scale = 1023.0f / side;

  std::vector<Keyed> keys(points.size()), swap(points.size());
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, points.size(), 16384), [&](const auto& range) {
    for (std::size_t i = range.begin(); i != range.end(); ++i) {
      const Eigen::Vector3f cell = (points[i] - low) * scale;
      keys[i] = {spread(static_cast<std::uint32_t>(cell.x())) |
                     spread(static_cast<std::uint32_t>(cell.y())) << 1 |
                     spread(static_cast<std::uint32_t>(cell.z())) << 2,
                 static_cast<std::uint32_t>(i)};
    }
  });
  sort_by_digit(keys, swap, 0, 10);
  sort_by_digit(swap, keys, 10, 10);
  sort_by_digit(keys, swap, 20, 10);
  std::vector<std::uint32_t> order(points.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = swap[i].place;
  return order;
}

PointCloud in_morton_order(const PointCloud& cloud) {
  const std::vector<std::uint32_t> order = morton_order(cloud.offsets_mm);
  PointCloud sorted;
  sorted.origin_mm = cloud.origin_mm;
  sorted.offsets_mm.resize(order.size());
  sorted.normals.resize(cloud.normals.empty() ? 0 : order.size());
  for (std::size_t i = 0; i < order.size(); ++i) sorted.offsets_mm[i] = cloud.offsets_mm[order[i]];
  for (std::size_t i = 0; i < sorted.normals.size(); ++i) sorted.normals[i] = cloud.normals[order[i]];
  return sorted;
}

}  // namespace boxfettle
