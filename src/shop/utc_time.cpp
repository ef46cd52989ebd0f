#include "shop/utc_time.hpp"

#include <cstdio>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using std::chrono::days;
using std::chrono::sys_days;
using std::chrono::year_month_day;

constexpr std::int64_t ms_per_day = 86'400'000;

[[noreturn]] void no_moment(std::string_view iso) {
  throw InputError("", "time", "'" + std::string(iso.substr(0, 40)) + "' is not a moment in UTC",
                   "write it like 2026-11-25T10:16:47Z, years 1970 to 9999");
}

// The `count` digits at `at`, or -1 when there is something else.
int digits(std::string_view text, std::size_t at, std::size_t count) {
  if (at + count > text.size()) return -1;
  int number = 0;
  for (const char c : text.substr(at, count)) {
    if (c < '0' || c > '9') return -1;
    number = number * 10 + (c - '0');
  }
  return number;
}

// Milliseconds from ".123", ".1" or nothing; -1 when it is none of them.
int decimals(std::string_view text) {
  if (text.empty()) return 0;
  if (text.size() < 2 || text.size() > 4 || text[0] != '.') return -1;
  const int number = digits(text, 1, text.size() - 1);
  return text.size() == 2 ? number * 100 : text.size() == 3 ? number * 10 : number;
}

std::int64_t floor_day(std::int64_t ms) {
  return ms / ms_per_day - (ms % ms_per_day < 0 ? 1 : 0);
}

}  // namespace

std::string UtcTime::date() const {
  const year_month_day day{sys_days{days{floor_day(ms_since_epoch)}}};
  char text[32];
  std::snprintf(text, sizeof text, "%04d-%02u-%02u", static_cast<int>(day.year()),
                static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day()));
  return text;
}

std::string UtcTime::iso() const {
  const auto in_day = static_cast<int>(ms_since_epoch - floor_day(ms_since_epoch) * ms_per_day);
  const int s = in_day / 1000;
  char text[40];
  std::snprintf(text, sizeof text, "T%02d:%02d:%02d.%03dZ", s / 3600, s / 60 % 60, s % 60, in_day % 1000);
  return date() + text;
}

UtcTime UtcTime::parse(std::string_view iso) {
  // 2026-11-25T10:16:47.123Z
  // 0    5  8  11 14 17 19
  if (iso.size() < 20 || iso[4] != '-' || iso[7] != '-' || iso[10] != 'T' || iso[13] != ':' ||
      iso[16] != ':' || iso.back() != 'Z')
    no_moment(iso);
  const int year = digits(iso, 0, 4), month = digits(iso, 5, 2), day = digits(iso, 8, 2);
  const int hour = digits(iso, 11, 2), minute = digits(iso, 14, 2), second = digits(iso, 17, 2);
  const int ms = decimals(iso.substr(19, iso.size() - 20));
  if (year < 1970 || month < 1 || day < 1 || hour < 0 || hour > 23 || minute < 0 || minute > 59 ||
      second < 0 || second > 59 || ms < 0)
    no_moment(iso);
  const year_month_day date{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                            std::chrono::day{static_cast<unsigned>(day)}};
  if (!date.ok()) no_moment(iso);
  const std::int64_t since = sys_days{date}.time_since_epoch().count();
  return {since * ms_per_day + ((hour * 60LL + minute) * 60 + second) * 1000 + ms};
}

}  // namespace boxfettle
