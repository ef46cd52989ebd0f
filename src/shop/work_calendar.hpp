// The hours a fitter works, day by day, without those they are away.
#pragma once

#include <chrono>
#include <cstdint>
#include <span>
#include <vector>

#include "shop/tool_room_entries.hpp"
#include "shop/utc_time.hpp"

namespace boxfettle {

// How far ahead anybody's hours are known. A job that does not fit before then is not planned.
inline constexpr std::chrono::days farthest_planned{13 * 7};

// Half hours counted from `start` (a full or half hour, UTC) in which the fitter works: whole ones only, in
// order, until `farthest_planned`.
std::vector<std::int64_t> working_half_hours(const FitterHours& hours, std::span<const FitterAway> away,
                                             UtcTime start);

// Whole half hours worked between the two times, at most those of a year.
std::int64_t worked_half_hours(const FitterHours& hours, std::span<const FitterAway> away, UtcTime from,
                               UtcTime to);

}  // namespace boxfettle
