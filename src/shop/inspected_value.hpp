// Whether a checkpoint can pass with the value that was measured or counted.
#pragma once

#include <optional>
#include <string>

#include "shop/checkpoint.hpp"
#include "shop/entry.hpp"

namespace boxfettle {

struct ValueBounds {
  std::optional<double> lowest, highest;
};

// In the checkpoint's unit: a share of a limit of the box is worked out.
ValueBounds bounds_of(const AllowedValue& allowed, const BoxRegistered::Limits& limits);

// "0.3 mm is beyond the 0.2 mm that ... allows"; empty when the value is allowed, or there is none.
std::string beyond_bounds(const Checkpoint& point, const BoxRegistered::Limits& limits,
                          const CheckpointResult& result);

}  // namespace boxfettle
