// How fast charts read their values, lives are fitted, and a chart takes one more point.
//
//   build/bench/bench/bench_statistics [values, default 10,000,000]
//
// One core. Values are far more than any cache holds; reading them is timed beside summing them up. The
// answers are compared with slower ones before anything is timed.
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <numeric>
#include <vector>

#include "statistics/control_chart.hpp"
#include "statistics/moments.hpp"
#include "statistics/random_numbers.hpp"
#include "statistics/weibull_life.hpp"
#include "stopwatch.hpp"

namespace boxfettle::bench {
namespace {

[[noreturn]] void fail(const char* what) {
  std::fprintf(stderr, "%s\n", what);
  std::exit(1);
}

// Every value once and nothing else: sixteen sums side by side, so that memory and not addition sets the
// pace.
double read_once(const std::vector<double>& values) {
  double sums[16] = {};
  for (std::size_t i = 0; i + 16 <= values.size(); i += 16)
    for (std::size_t lane = 0; lane < 16; ++lane) sums[lane] += values[i + lane];
  return std::accumulate(sums, sums + 16, 0.0);
}

void streaming_sums(std::size_t count) {
  RandomNumbers random(1);
  std::vector<double> values(count);
  for (double& value : values) value = 1200 + 3 * random.uniform();
  const Moments told(values);
  long double sum = 0, squares = 0;
  for (const double value : values) sum += value;
  const long double mean = sum / static_cast<long double>(count);
  for (const double value : values) squares += (value - mean) * (value - mean);
  if (std::abs(told.mean() - static_cast<double>(mean)) > 1e-9 ||
      std::abs(told.squares() / static_cast<double>(squares) - 1) > 1e-10)
    fail("the sums disagree with those in extended precision");

  double kept = 0;
  const double reading = median_seconds([&] { kept += read_once(values); });
  const double summing = median_seconds([&] { kept += Moments(values).squares(); });
  if (kept == 0) fail("nothing was summed");
  const auto millions = static_cast<double>(count) / 1e6;
  std::printf(
      "Mean and scatter of %.0f million values: %.1f ms, %.0f million values/s; reading them alone: %.1f ms, "
      "ratio %.2f\n",
      millions, 1e3 * summing, millions / summing, 1e3 * reading, summing / reading);
}

void weibull_fit() {
  RandomNumbers random(2);
  std::vector<LifeRecord> records;
  for (int i = 0; i < 100'000; ++i) {
    const double life = 40000 * std::pow(-std::log(random.uniform()), 1 / 2.2);
    records.push_back(life < 45000 ? LifeRecord{life, life} : LifeRecord{45000, std::nullopt});
  }
  const auto life = weibull_life(records);
  if (!life || std::abs(life->shape - 2.2) > 0.05) fail("the life is not the one that was drawn");
  const double fitting = median_seconds([&] { (void)weibull_life(records); });
  const double bounding = median_seconds([&] { (void)shape_interval(records, *life, 0.95); });
  std::printf(
      "Weibull fit of 100,000 records, some still holding: %.1f ms (%d steps); interval of its shape: %.1f "
      "ms\n",
      1e3 * fitting, life->iterations, 1e3 * bounding);
}

// Points added after a thousand and after a million: the same each.
void live_chart() {
  RandomNumbers random(3);
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  settings.rules.rules.assign(all_run_rules.begin(), all_run_rules.end());
  LiveChart chart({1200, 3, 1, 0}, settings);
  Subgroup core{{0}, 0};
  std::size_t signals = 0;
  const auto add = [&](std::size_t points) {
    const auto start = std::chrono::steady_clock::now();
    for (std::size_t i = 0; i < points; ++i) {
      core.values[0] = 1200 + 3 * random.normal();
      chart.add(core);
      signals += chart.signals().size();
    }
    const double taken = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    return 1e9 * taken / static_cast<double>(points);
  };
  add(1000);
  const double early = add(100'000);
  add(2'000'000);
  const double late = add(100'000);
  std::printf(
      "One more point on a chart with all rules: %.0f ns after 1,000 points, %.0f ns after 2.1 million (%zu "
      "signals)\n",
      early, late, signals);
}

}  // namespace
}  // namespace boxfettle::bench

int main(int count, char** words) {
  using namespace boxfettle::bench;
  std::printf("%s, load %s\n", processor().c_str(), load_average().c_str());
  streaming_sums(count > 1 ? std::strtoull(words[1], nullptr, 10) : 10'000'000);
  weibull_fit();
  live_chart();
}
