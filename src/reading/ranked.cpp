#include "reading/ranked.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
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

// Floats in order, told by whole numbers in order: sixteen leading bits tell to a 128th where a value lies.
constexpr std::size_t steps = 1u << 16;
std::uint32_t step_of(float value) {
  const auto bits = std::bit_cast<std::uint32_t>(value);
  return (bits >> 31 ? ~bits : bits | 0x80000000u) >> 16;
}

}  // namespace

std::vector<float> of_ranks(std::span<const float> values, std::span<const std::size_t> ranks) {
  std::vector<std::uint32_t> count(steps, 0);
  for (const float v : values) ++count[step_of(v)];
  struct Sought {
    std::uint32_t step = 0;
    std::size_t below = 0;  // values in lower steps
    std::vector<float> alike;
  };
  std::vector<Sought> all(ranks.size());
  for (std::size_t k = 0; k < ranks.size(); ++k) {
    Sought& one = all[k];
    while (one.below + count[one.step] <= ranks[k]) one.below += count[one.step++];
    one.alike.reserve(count[one.step]);
  }
  for (const float v : values)
    for (Sought& one : all)
      if (step_of(v) == one.step) one.alike.push_back(v);
  std::vector<float> found;
  for (std::size_t k = 0; k < ranks.size(); ++k) {
    const auto at = all[k].alike.begin() + static_cast<std::ptrdiff_t>(ranks[k] - all[k].below);
    std::nth_element(all[k].alike.begin(), at, all[k].alike.end());
    found.push_back(*at);
  }
  return found;
}

float median(std::span<const float> given) {
  if (given.size() <= few) return median_of_few(given);
  std::vector<float> values(given.begin(), given.end());
  sort_ascending(values);
  return values[values.size() / 2];
}

}  // namespace boxfettle
