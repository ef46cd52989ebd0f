// How fast the places of a box wear, and how many shots are left before one of them reaches its limit.
//
// Each place (patch) is a straight line of depth over shots, read with a known or a common uncertainty; a
// repair sets the depth back and starts a new line of the same slope. The slopes of the patches scatter about
// one rate (random slopes), so a patch with few readings borrows from the others and one with many does not.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "statistics/estimate.hpp"

namespace boxfettle {

struct WearReading {
  std::string patch;
  double shots;                  // the box had made by then
  double depth_mm;               // plus: metal lost; minus: build-up
  std::optional<double> u95_mm;  // half-width of its 95 % interval; for all readings or for none
};

struct WearSettings {
  double limit_mm = 0.3;  // on either side
  double confidence = 0.95;
  double jump_sigmas = 4;   // a depth that falls by more than this much of its uncertainty was set back
  double jump_share = 0.1;  // and by at least this share of the limit
  std::size_t draws = 8000;
};

struct PatchWear {
  std::string patch;
  bool build_up = false;  // its depths are negative: it grows instead of wearing
  std::size_t readings = 0;
  std::vector<double> set_back_at_shots;  // first reading after each repair
  double last_shots = 0;
  double now_mm = 0;          // depth of the line at `Wear::now_shots`, growth counted positive
  Estimate rate_mm_per_1000;  // with what the other patches say
  std::optional<Estimate>
      shots_to_limit;  // value: median; low, high: 5 % and 95 %; absent: never, as far as told
};

struct Wear {
  double now_shots = 0;            // shots at the last reading of all
  double seen_shots = 0;           // how far the readings reach back without a repair
  Estimate rate_mm_per_1000;       // mean of the patches that were read
  double rate_sd_mm_per_1000 = 0;  // by how much the patches' rates differ
  bool told = false;               // whether wear can be told from none at this confidence
  double noise_mm = 0;             // of a reading, as it scatters about its line (1 sigma)
  double noise_ratio = 1;          // that, to what the readings claimed; 1 when they claimed nothing
  double degrees = 0;              // readings beyond those that the lines need
  std::vector<PatchWear> patches;
  std::string worst_patch;                 // whose median comes first
  std::optional<Estimate> shots_to_limit;  // of the first patch to get there; as above
  std::vector<double> drawn_shots;  // the same, every draw, rising; those that never get there are infinite
};

// Rates are never negative: worn metal does not come back. Throws InputError (without a file's name): no
// patch was read at two different shot counts, uncertainties on some readings only, lines that leave no
// scatter to judge by.
Wear wear(std::span<const WearReading> readings, const WearSettings& settings = {});

}  // namespace boxfettle
