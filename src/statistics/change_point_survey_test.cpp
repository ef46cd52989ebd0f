// How often the stated interval of a change holds the place where it really was.
#include <gtest/gtest.h>

#include <cstdio>
#include <string>

#include "statistics/control_chart.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

// Runs of cores of known centre and scatter, shifted from point 100 on, watched until the first signal;
// runs with a signal before that are false alarms and say nothing about the change.
double held_share(ChartKind kind, double shift, double confidence) {
  RandomNumbers random(31);
  ChartSettings settings;
  settings.kind = kind;
  settings.target = 0;
  settings.sigma = 1;
  settings.rules.rules = {RunRule::outside_limits};
  constexpr std::size_t changed = 100;
  int held = 0, runs = 0;
  while (runs < 1500) {
    LiveChart live({0, 1, 1, 0}, settings);
    std::vector<std::optional<double>> sigmas;
    while (live.signals().empty()) {
      sigmas.push_back(random.normal() + (sigmas.size() >= changed ? shift : 0));
      live.add({{*sigmas.back()}, 0});
    }
    if (sigmas.size() <= changed) continue;
    const auto change = change_point(sigmas, confidence);
    held += change->low <= changed && changed <= change->high;
    ++runs;
  }
  return held / 1500.0;
}

// 1,500 runs know the share to 0.6 % (1 sigma). Places are whole, so the interval holds more than it says
// where a shift is large and one place more is much more.
TEST(ChangePoint, IntervalHoldsTheTruthAboutAsOftenAsItSays) {
  for (const ChartKind kind : {ChartKind::i_mr, ChartKind::cusum, ChartKind::ewma})
    for (const double shift : {1.0, 2.0, 3.0}) {
      const double share = held_share(kind, shift, 0.95);
      std::printf("%s, shift %.0f sigma: held %.3f\n", std::string(name(kind)).c_str(), shift, share);
      EXPECT_GT(share, 0.93);
    }
}

// The same of a whole chart, which looks on to the end of the stretch: 60 points after the change, and false
// alarms beforehand left in.
TEST(ChangePoint, IntervalOfAWholeChartHoldsTheTruthAboutAsOftenAsItSays) {
  RandomNumbers random(32);
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  settings.target = 0;
  settings.sigma = 1;
  for (const double shift : {1.0, 2.0}) {
    int held = 0, missed = 0;
    for (int run = 0; run < 400; ++run) {
      std::vector<Subgroup> cores;
      for (int i = 0; i < 160; ++i) cores.push_back({{random.normal() + (i >= 100 ? shift : 0)}, 0});
      const ControlChart chart = control_chart(cores, settings);
      bool here = false;
      for (const ChartChange& change : chart.changes)
        here = here || (change.at.low <= 100 && 100 <= change.at.high);
      held += here;
      missed += chart.changes.empty();
    }
    std::printf("whole chart, shift %.0f sigma: held %.3f, no signal %.3f\n", shift, held / 400.0,
                missed / 400.0);
    EXPECT_GT(held / 400.0, 0.90);
  }
}

}  // namespace
}  // namespace boxfettle
