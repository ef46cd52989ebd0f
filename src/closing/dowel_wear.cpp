#include "closing/dowel_wear.hpp"

#include <vector>

#include "input/input_error.hpp"
#include "statistics/wear.hpp"

namespace boxfettle {

DowelWear dowel_wear(std::span<const PlayReading> readings, double limit_mm) {
  constexpr std::size_t fewest = 4;  // two make the line, the others its scatter
  DowelWear told;
  told.readings = readings.size();
  told.limit_mm = limit_mm;
  if (readings.size() < fewest) {
    told.why_not = "fewer than four inspections measured the play";
    return told;
  }
  std::vector<WearReading> series;
  for (const PlayReading& reading : readings)
    series.push_back({"dowels", reading.shots, reading.play_mm, {}});
  WearSettings settings;
  settings.limit_mm = limit_mm;
  try {
    const Wear worn = wear(series, settings);
    told.told = worn.told;
    told.rate_mm_per_1000 = worn.rate_mm_per_1000;
    told.now_mm = worn.patches.front().now_mm;
    told.shots_to_limit = worn.shots_to_limit;
  } catch (const InputError& error) {
    // A series of readings is what the shop has, not something a person typed wrong.
    told.why_not = error.fault();
  }
  return told;
}

}  // namespace boxfettle
