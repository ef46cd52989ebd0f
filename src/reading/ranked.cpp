#include "reading/ranked.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include "geometry/vector_sort.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t few = 256;

float middle_of_three(float a, float b, float c) {
  return std::max(std::min(a, b), std::min(std::max(a, b), c));
}

// Hoare's selection (Communications of the ACM 4, 1961) without branches on the values, which on noise are
// mistaken every second time: every value is written to both sides, and one side's end moves on.
float median_of_few(std::span<const float> given) {
  std::array<float, few> copy, above;
  std::copy(given.begin(), given.end(), copy.begin());
  std::span<float> values(copy.data(), given.size());
  std::size_t rank = values.size() / 2;
  while (values.size() > 3) {
    const float pivot = middle_of_three(values.front(), values[values.size() / 2], values.back());
    std::size_t lower = 0, higher = 0;
    for (const float v : values) {
      values[lower] = v;
      above[higher] = v;
      lower += v < pivot;
      higher += v > pivot;
    }
    const std::size_t not_higher = values.size() - higher;
    if (rank >= lower && rank < not_higher) return pivot;
    if (rank < lower) {
      values = values.first(lower);
    } else {
      rank -= not_higher;
      std::copy_n(above.begin(), higher, values.begin());
      values = values.first(higher);
    }
  }
  std::sort(values.begin(), values.end());
  return values[rank];
}

}  // namespace

float median(std::span<const float> given) {
  if (given.size() <= few) return median_of_few(given);
  std::vector<float> values(given.begin(), given.end());
  sort_ascending(values);
  return values[values.size() / 2];
}

}  // namespace boxfettle
