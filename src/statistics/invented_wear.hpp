// Wear whose truth is known, for the tests.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "statistics/random_numbers.hpp"
#include "statistics/wear.hpp"

namespace boxfettle {

struct InventedWear {
  int patches = 4, readings = 6;
  double rate_mm_per_1000 = 0.006, rate_sd = 0.001;
  double start_mm = 0.02, noise_mm = 0.01;
  double every_shots = 4000;
  bool uncertainty_given = true;
  int set_back_after = 0;  // readings before a repair; 0: none
};

// `own_rates` are what the patches were given, mm in 1000 shots.
struct KnownWear {
  std::vector<WearReading> readings;
  std::vector<double> own_rates, depth_now_mm;
};

inline KnownWear known_wear(const InventedWear& wear, std::uint64_t seed) {
  RandomNumbers random(seed);
  KnownWear known;
  for (int p = 0; p < wear.patches; ++p) {
    const double rate = wear.rate_mm_per_1000 + wear.rate_sd * random.normal();
    known.own_rates.push_back(rate);
    double depth = wear.start_mm;
    for (int i = 0; i < wear.readings; ++i) {
      if (i > 0) depth += rate * wear.every_shots / 1000;
      if (wear.set_back_after > 0 && i == wear.set_back_after) depth = wear.start_mm;
      known.readings.push_back({"P" + std::to_string(p + 1), wear.every_shots * (i + 1),
                                depth + wear.noise_mm * random.normal(), std::nullopt});
      if (wear.uncertainty_given) known.readings.back().u95_mm = 1.96 * wear.noise_mm;
    }
    known.depth_now_mm.push_back(depth);
  }
  return known;
}

}  // namespace boxfettle
