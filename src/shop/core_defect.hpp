// What can be wrong with a core, as the floor tells it.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

namespace boxfettle {

enum class CoreDefect {
  mismatch,
  fin,
  oversize,
  overweight,
  soft_spot,
  not_filled,
  broken,
  sticking,
  erosion,
  gas_starved,
  wrong_feature,
  missing_feature,
  scratch
};

inline constexpr std::array<std::string_view, 13> core_defect_names{
    "mismatch", "fin",     "oversize",    "overweight",    "soft-spot",       "not-filled", "broken",
    "sticking", "erosion", "gas-starved", "wrong-feature", "missing-feature", "scratch"};

constexpr std::string_view name(CoreDefect defect) {
  return core_defect_names[static_cast<std::size_t>(defect)];
}

}  // namespace boxfettle
