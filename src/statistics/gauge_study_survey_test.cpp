#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "statistics/invented_gauge.hpp"

namespace boxfettle {
namespace {

TEST(GaugeStudy, IntervalsHoldTheTruthAsOftenAsTheySay) {
  const Truth truth;
  const double repeat = truth.repeat * truth.repeat;
  const double gauge = repeat + truth.person * truth.person + truth.interaction * truth.interaction;
  const double grr = 100 * std::sqrt(gauge / (gauge + truth.part * truth.part));
  int repeats = 0, gauges = 0, shares = 0, parts = 0;
  constexpr int runs = 120;
  const auto holds = [](const Estimate& told, double value) {
    return told.low <= value && value <= told.high;
  };
  for (int run = 0; run < runs; ++run) {
    const GaugeStudy study = gauge_study(study_of(truth, 50 + static_cast<std::uint64_t>(run)));
    repeats += holds(study.repeatability, repeat) || study.pooled;
    gauges += holds(study.gauge, gauge);
    shares += holds(study.grr_percent, grr);
    parts += holds(study.parts, truth.part * truth.part);
  }
  std::printf("repeatability %.3f, gauge %.3f, percentage %.3f, parts %.3f held\n", repeats / 120.0,
              gauges / 120.0, shares / 120.0, parts / 120.0);
  // 120 runs know a share to 2 %; generalized intervals hold a little more than they say.
  for (const int held : {repeats, gauges, shares, parts}) EXPECT_GE(held, 0.89 * runs);
}

}  // namespace
}  // namespace boxfettle
