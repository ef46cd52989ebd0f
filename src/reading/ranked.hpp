// Values by rank: medians of few values by the ten thousand, percentiles of millions.
#pragma once

#include <cstdint>
#include <span>

namespace boxfettle {

// The value of rank size / 2, counted from 0 at the lowest, of at least one and none of them NaN.
float median(std::span<const float> values);

void sort_ascending(std::span<float> values);
void sort_ascending(std::span<std::uint64_t> values);

}  // namespace boxfettle
