// The middle of values: of a few by the ten thousand as of very many.
#pragma once

#include <span>

namespace boxfettle {

// The value of rank size / 2, counted from 0 at the lowest, of at least one and none of them NaN.
float median(std::span<const float> values);

}  // namespace boxfettle
