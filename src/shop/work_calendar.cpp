#include "shop/work_calendar.hpp"

#include <algorithm>

namespace boxfettle {
namespace {

constexpr std::int64_t half_hour_ms = 30 * 60 * 1000;
constexpr std::int64_t per_day = 48;

std::int64_t floor_of(std::int64_t number, std::int64_t by) {
  return number / by - (number % by < 0 ? 1 : 0);
}

bool works_on(const FitterHours& hours, std::int64_t day) {
  const std::int64_t weekday = 1 + (((day + 3) % 7) + 7) % 7;  // 1 January 1970 was a Thursday
  return std::find(hours.weekdays.begin(), hours.weekdays.end(), weekday) != hours.weekdays.end();
}

bool is_away(const FitterHours& hours, std::span<const FitterAway> away, std::int64_t half_hour) {
  const UtcTime from{half_hour * half_hour_ms}, to{(half_hour + 1) * half_hour_ms};
  return std::any_of(away.begin(), away.end(), [&](const FitterAway& gone) {
    return (gone.fitter.empty() || gone.fitter == hours.fitter) && gone.from < to && from < gone.to;
  });
}

// Calls `with` for each half hour since 1970 worked from `from` to before `to`, until it says no.
template <class With>
void for_each_worked(const FitterHours& hours, std::span<const FitterAway> away, std::int64_t from,
                     std::int64_t to, const With& with) {
  const std::int64_t opens = (hours.from_minute + 29) / 30, closes = hours.to_minute / 30;
  for (std::int64_t day = floor_of(from, per_day); day * per_day < to; ++day) {
    if (!works_on(hours, day)) continue;
    for (std::int64_t at = std::max(from, day * per_day + opens); at < std::min(to, day * per_day + closes);
         ++at)
      if (!is_away(hours, away, at) && !with(at)) return;
  }
}

}  // namespace

std::vector<std::int64_t> working_half_hours(const FitterHours& hours, std::span<const FitterAway> away,
                                             UtcTime start) {
  const std::int64_t first = floor_of(start.ms_since_epoch, half_hour_ms);
  const std::int64_t far = first + per_day * farthest_planned.count();
  std::vector<std::int64_t> working;
  for_each_worked(hours, away, first, far, [&](std::int64_t at) {
    working.push_back(at - first);
    return true;
  });
  return working;
}

std::int64_t worked_half_hours(const FitterHours& hours, std::span<const FitterAway> away, UtcTime from,
                               UtcTime to) {
  const std::int64_t last = floor_of(to.ms_since_epoch, half_hour_ms);
  const std::int64_t year_before = last - 366 * per_day;
  std::int64_t worked = 0;
  for_each_worked(hours, away, std::max(year_before, floor_of(from.ms_since_epoch + half_hour_ms - 1, half_hour_ms)),
                  last, [&](std::int64_t) { return ++worked > 0; });
  return worked;
}

}  // namespace boxfettle
