// Values by their rank: the middle of a few, by the ten thousand, as percentiles of very many.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace boxfettle {

// The value of rank size / 2, counted from 0 at the lowest, of at least one and none of them NaN.
float median(std::span<const float> values);

// The values of these ranks, counted from 0 at the lowest; none of the values NaN, every rank below their
// number.
std::vector<float> of_ranks(std::span<const float> values, std::span<const std::size_t> ranks);

}  // namespace boxfettle
