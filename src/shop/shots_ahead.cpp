#include "shop/shots_ahead.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <vector>

#include "input/input_error.hpp"
#include "shop/inspected_value.hpp"
#include "statistics/wear.hpp"

namespace boxfettle {
namespace {

constexpr double risk = 0.05;
constexpr std::size_t fewest = 4;  // two make the line, the others its scatter

struct Growing {
  std::string checkpoint;
  double limit = 0;
  const std::vector<MeasuredThen>* readings = nullptr;
};

std::vector<Growing> measured_often(const BoxState& state, const Catalogue& catalogue) {
  std::vector<Growing> often;
  for (const Checkpoint& point : catalogue.checkpoints) {
    const auto limit = bounds_of(point.allowed, state.registered->limits).highest;
    const auto readings = state.measured.find(point.id);
    if (point.unit == "mm" && limit && readings != state.measured.end() && readings->second.size() >= fewest)
      often.push_back({point.id, *limit, &readings->second});
  }
  return often;
}

// What is known of one checkpoint's growth; none when its readings allow no line at all, as when all were
// made at one count of shots.
std::optional<Wear> growth(const Growing& growing) {
  std::vector<WearReading> readings;
  for (const MeasuredThen& then : *growing.readings)
    readings.push_back({growing.checkpoint, static_cast<double>(then.made), then.value, {}});
  WearSettings settings;
  settings.limit_mm = growing.limit;
  try {
    return wear(readings, settings);
  } catch (const InputError&) {
    return std::nullopt;
  }
}

// From the last reading on, reached or passed with no more than this probability.
double safe_shots(const Wear& worn, double probability) {
  if (worn.drawn_shots.empty()) return 0;
  const auto place = static_cast<std::size_t>(probability * static_cast<double>(worn.drawn_shots.size()));
  return worn.drawn_shots[place];
}

std::string words_for(const std::string& checkpoint, const Catalogue& catalogue) {
  const Checkpoint* point = catalogue.find(checkpoint);
  return point == nullptr ? checkpoint : point->title;
}

ShotsAhead cannot_tell(const std::string& why) {
  return {std::nullopt, "", "Cannot tell for how many more shots it stays within its limits: " + why};
}

// Down to two figures: the interval is worth no more, and to promise less is the safe side.
std::int64_t in_two_figures(std::int64_t shots) {
  std::int64_t unit = 1;
  while (shots / unit >= 100) unit *= 10;
  return shots / unit * unit;
}

ShotsAhead told(const Growing& first, double shots, const Catalogue& catalogue) {
  char limit[32];
  std::snprintf(limit, sizeof limit, "%.2f mm", first.limit);
  const auto whole = static_cast<std::int64_t>(std::max(0.0, std::floor(shots)));
  const std::string reaches = "'" + words_for(first.checkpoint, catalogue) + "' gets to " + limit + " first";
  if (whole == 0) return {0, first.checkpoint, "May be at its limit by now: " + reaches + ". Measure it."};
  return {whole, first.checkpoint,
          "Expected to stay within its limits for " + std::to_string(in_two_figures(whole)) +
              " more shots (95 %): " + reaches + "."};
}

}  // namespace

ShotsAhead shots_ahead(const BoxState& state, const Catalogue& catalogue, std::int64_t run_shots) {
  const std::vector<Growing> often =
      state.registered ? measured_often(state, catalogue) : std::vector<Growing>{};
  if (often.empty()) return cannot_tell("fewer than four inspections measured its dowels, or how it closes.");
  const double made = static_cast<double>(state.runs.made + run_shots);
  const Growing* first = nullptr;
  double shots = 0;
  bool grows = false;
  for (const Growing& growing : often) {
    const auto worn = growth(growing);
    if (!worn) continue;
    grows = grows || worn->told;
    const double left =
        safe_shots(*worn, risk / static_cast<double>(often.size())) - (made - worn->now_shots);
    if (first != nullptr && left >= shots) continue;
    first = &growing;
    shots = left;
  }
  if (first == nullptr) return cannot_tell("all of it was measured at the same count of shots.");
  if (!grows || !std::isfinite(shots))
    return cannot_tell("what was measured does not grow by more than it scatters.");
  return told(*first, shots, catalogue);
}

}  // namespace boxfettle
