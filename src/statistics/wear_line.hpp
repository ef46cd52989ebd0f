// One patch's readings as a line, set back at each repair: the first half of the wear calculation.
#pragma once

#include <span>
#include <vector>

#include "statistics/wear.hpp"

namespace boxfettle {

struct WearLine {
  std::string patch;
  bool build_up = false;
  std::vector<WearReading> readings;  // in order of shots, growth positive
  std::vector<std::size_t> starts;    // first reading of each line between repairs; the first is 0

  // Of the last line at its last reading, and of the slope, mm a shot. Covariances are to be multiplied by
  // the noise's square: in mm^2 where readings carry no uncertainty, relative to it where they do.
  double depth_mm = 0, depth_variance = 0;
  double slope = 0, slope_variance = 0, covariance = 0;
  bool has_slope = false;  // false: no two readings between the same repairs; only the depth is known
  double squares = 0;      // of the residuals, weighted
  double degrees = 0;

  double last_shots() const { return readings.back().shots; }
};

std::vector<WearLine> wear_lines(std::span<const WearReading> readings, const WearSettings& settings);

}  // namespace boxfettle
