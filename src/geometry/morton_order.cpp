#include "geometry/morton_order.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <array>
#include <numeric>

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

constexpr int digit_bits = 10;  // three digits make a key
constexpr std::size_t digits = std::size_t{1} << digit_bits;

std::size_t digit(std::uint32_t key, int which) {
  return (key >> (which * digit_bits)) & (digits - 1);
}

// Where the keys with each value of each digit begin once sorted by it: one look at the keys serves all
// three.
using Starts = std::array<std::array<std::uint32_t, digits>, 3>;

Starts starts(const std::vector<Keyed>& keys) {
  Starts count{};
  for (const Keyed& k : keys)
    for (int which = 0; which < 3; ++which) ++count[static_cast<std::size_t>(which)][digit(k.key, which)];
  for (auto& of_digit : count)
    std::exclusive_scan(of_digit.begin(), of_digit.end(), of_digit.begin(), std::uint32_t{0});
  return count;
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
  Starts start = starts(keys);
  for (const Keyed& k : keys) swap[start[0][digit(k.key, 0)]++] = k;
  for (const Keyed& k : swap) keys[start[1][digit(k.key, 1)]++] = k;
  std::vector<std::uint32_t> order(points.size());
  for (const Keyed& k : keys) order[start[2][digit(k.key, 2)]++] = k.place;
  return order;
}

PointCloud in_morton_order(const PointCloud& cloud) {
  const std::vector<std::uint32_t> order = morton_order(cloud.offsets_mm);
  const auto in_order = [&](const std::vector<Eigen::Vector3f>& values) {
    std::vector<Eigen::Vector3f> sorted(values.size());
    tbb::parallel_for(tbb::blocked_range<std::size_t>(0, sorted.size(), 16384), [&](const auto& range) {
      for (std::size_t i = range.begin(); i != range.end(); ++i) {
        constexpr std::size_t ahead = 32;  // these reads jump about: memory is asked early
        if (i + ahead < range.end()) __builtin_prefetch(&values[order[i + ahead]]);
        sorted[i] = values[order[i]];
      }
    });
    return sorted;
  };
  return {cloud.origin_mm, in_order(cloud.offsets_mm), in_order(cloud.normals)};
}

}  // namespace boxfettle
