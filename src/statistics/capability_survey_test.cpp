#include <gtest/gtest.h>

#include <cstdio>

#include "statistics/capability.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

std::vector<std::vector<double>> normal_cores(std::size_t count, RandomNumbers& random) {
  std::vector<std::vector<double>> cores;
  for (std::size_t i = 0; i < count; ++i) cores.push_back({50 + random.normal()});
  return cores;
}

TEST(Capability, IntervalsFromPercentilesHoldTheTruthAsOftenAsTheySay) {
  RandomNumbers random(71);
  int held = 0;
  constexpr int runs = 300;
  for (int run = 0; run < runs; ++run) {
    const Capability told = capability(normal_cores(3000, random), {46, 55});
    held += told.percentiles->ppk.low <= 4.0 / 3 && 4.0 / 3 <= told.percentiles->ppk.high;
  }
  std::printf("Ppk from percentiles of 3,000 cores: %.3f held\n", held / 300.0);
  // 300 runs know a share to 1.3 %.
  EXPECT_GT(held, 0.90 * runs);
}

}  // namespace
}  // namespace boxfettle
