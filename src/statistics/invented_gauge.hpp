// Gauge studies whose truth is known, for the tests.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "statistics/gauge_study.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {

// Standard deviations.
struct Truth {
  double part = 1, person = 0.3, interaction = 0.2, repeat = 0.25;
};

inline std::vector<GaugeReading> study_of(const Truth& truth, std::uint64_t seed, int parts = 10,
                                          int people = 4, int repeats = 3) {
  RandomNumbers random(seed);
  std::vector<double> bias(static_cast<std::size_t>(people));
  for (double& one : bias) one = truth.person * random.normal();
  std::vector<GaugeReading> readings;
  for (int part = 0; part < parts; ++part) {
    const double size = 40 + truth.part * random.normal();
    for (int person = 0; person < people; ++person) {
      const double cell = size + bias[static_cast<std::size_t>(person)] + truth.interaction * random.normal();
      for (int i = 0; i < repeats; ++i)
        readings.push_back(
            {std::to_string(part), std::to_string(person), cell + truth.repeat * random.normal()});
    }
  }
  return readings;
}

}  // namespace boxfettle
