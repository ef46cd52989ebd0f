// How the play felt at a box's dowels grows with its shots, from one inspection to the next.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "statistics/estimate.hpp"

namespace boxfettle {

struct PlayReading {
  double shots;    // the box had made by then
  double play_mm;  // felt at the upper half, clamps off
};

struct DowelWear {
  std::size_t readings = 0;
  bool told = false;    // whether growth can be told from none, at 95 %
  std::string why_not;  // when nothing at all can be said
  Estimate rate_mm_per_1000;
  double now_mm = 0;  // of the line, at the last reading
  double limit_mm = 0;
  std::optional<Estimate> shots_to_limit;  // median with 5 % and 95 %; absent: never, as far as told
};

// New pins or bushes set the play back and start a new line. Fewer than four readings say nothing.
DowelWear dowel_wear(std::span<const PlayReading> readings, double limit_mm);

}  // namespace boxfettle
