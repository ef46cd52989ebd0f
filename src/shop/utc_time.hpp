// A moment, in UTC. Time is always an argument in the shop: nothing here reads a clock.
#pragma once

#include <chrono>
#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

namespace boxfettle {

struct UtcTime {
  std::int64_t ms_since_epoch = 0;  // milliseconds since 1970-01-01T00:00:00Z; leap seconds do not count

  auto operator<=>(const UtcTime&) const = default;

  std::string iso() const;   // "2026-11-25T10:16:47.123Z": always 24 characters, so text order is time order
  std::string date() const;  // "2026-11-25"

  // Reads what `iso` writes, and the same with fewer or no decimals. Years 1970 to 9999.
  // Throws InputError (place "time") when it is no such moment.
  static UtcTime parse(std::string_view iso);
};

inline UtcTime operator+(UtcTime t, std::chrono::milliseconds d) {
  return {t.ms_since_epoch + d.count()};
}
inline UtcTime operator-(UtcTime t, std::chrono::milliseconds d) {
  return {t.ms_since_epoch - d.count()};
}
inline std::chrono::milliseconds operator-(UtcTime a, UtcTime b) {
  return std::chrono::milliseconds{a.ms_since_epoch - b.ms_since_epoch};
}

}  // namespace boxfettle
