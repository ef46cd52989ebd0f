#include "demo/core_weights.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "demo/dice.hpp"
#include "demo/shop_people.hpp"

namespace boxfettle::demo {
namespace {

using namespace std::chrono_literals;

constexpr std::uint64_t seed = 20;
constexpr std::int64_t drifting = 40;

// A chart cries wolf once in some hundred values; these streams of random numbers are such that none does.
// The volute's box has its upper half resting on sand since core 129: heavier all at once.
constexpr std::array series{
    MeasuredSeries{"TM-0412", "core weight", "g", 29, 140, 2140, 6, 2, 129, 16, 0, true},
    MeasuredSeries{"TM-0427", "core weight", "g", 9, 60, 3385, 8, 2, {}, 0, 0, false},
    MeasuredSeries{"TM-0455", "core weight", "g", 2, 90, 1262, 4, 2, {}, 0, -0.45, false},
    MeasuredSeries{"TM-0391", "print diameter", "mm", 6, 50, 63.02, 0.04, 100, {}, 0, 0, false},
};

// Every ten minutes in the run of this morning, before that once a shift.
UtcTime time_of(const MeasuredSeries& of, std::int64_t from_last, UtcTime now) {
  constexpr std::int64_t this_morning = 15;
  if (!of.running) return now - 48h - from_last * 7h;
  if (from_last < this_morning) return now - 5min - from_last * 10min;
  return now - 3h - (from_last - this_morning + 1) * 7h;
}

double mean_at(const MeasuredSeries& of, std::int64_t number) {
  const double step = of.moved_at && number >= *of.moved_at ? of.moved_by : 0;
  const auto drifted = static_cast<double>(std::max<std::int64_t>(number - (of.values - drifting), 0));
  return of.usual + step + of.drift_per_value * drifted;
}

}  // namespace

std::span<const MeasuredSeries> measured_series() {
  return series;
}

std::string in_words(const MeasuredSeries& of) {
  std::string text = "  " + std::string(of.box) + " " + std::string(of.characteristic) + ": ";
  if (of.moved_at)
    text += "moves from value " + std::to_string(*of.moved_at) + " on";
  else
    text +=
        of.drift_per_value != 0 ? "drifts over the last " + std::to_string(drifting) + " values" : "quiet";
  return text + ", " + std::to_string(of.values) + " values\n";
}

std::vector<Measurement> measurements_of(const MeasuredSeries& of, UtcTime now) {
  Dice dice(seed, of.stream);
  const ShopPeople people;
  std::vector<Measurement> measured;
  for (std::int64_t number = 1; number <= of.values; ++number) {
    const double value = mean_at(of, number) + of.scatter * dice.normal();
    const UtcTime at = time_of(of, of.values - number, now);
    measured.push_back({.request = "demo-" + std::string(of.box) + "-" + std::to_string(number),
                        .box = std::string(of.box),
                        .characteristic = std::string(of.characteristic),
                        .unit = std::string(of.unit),
                        .at = at,
                        .arrived = at,
                        .who = people.operators[dice.below(people.operators.size())].name,
                        .value = std::round(value * of.steps_per_unit) / of.steps_per_unit,
                        .run = {}});
  }
  return measured;
}

}  // namespace boxfettle::demo
