// Random numbers that are the same on every machine: those of <random>'s distributions are not.
#pragma once

#include <cstdint>

namespace boxfettle {

class RandomNumbers {
 public:
  explicit RandomNumbers(std::uint64_t seed) : state_(seed) {}
  double uniform();  // strictly between 0 and 1
  double normal();
  double chi_squared(double degrees);  // degrees >= 1

 private:
  std::uint64_t next();
  std::uint64_t state_;
};

}  // namespace boxfettle
