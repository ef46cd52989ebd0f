#include "input/calendar_date.hpp"

#include <algorithm>
#include <chrono>

namespace boxfettle {
namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

bool all_digits(std::string_view text) {
  return std::all_of(text.begin(), text.end(), is_digit);
}

int number(std::string_view digits) {
  int value = 0;
  for (const char c : digits) value = 10 * value + (c - '0');
  return value;
}

}  // namespace

bool is_calendar_date(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  const std::string_view year = text.substr(0, 4), month = text.substr(5, 2), day = text.substr(8, 2);
  if (!all_digits(year) || !all_digits(month) || !all_digits(day)) return false;
  const std::chrono::year_month_day date{std::chrono::year(number(year)),
                                         std::chrono::month(static_cast<unsigned>(number(month))),
                                         std::chrono::day(static_cast<unsigned>(number(day)))};
  return date.ok() && number(year) >= 1900 && number(year) < 2200;
}

std::optional<std::string> date_in_name(std::string_view name) {
  for (std::size_t at = 0; at < name.size(); ++at) {
    if (at > 0 && is_digit(name[at - 1])) continue;
    for (const bool dashed : {true, false}) {
      const std::size_t length = dashed ? 10 : 8;
      if (at + length > name.size() || (at + length < name.size() && is_digit(name[at + length]))) continue;
      std::string date(name.substr(at, length));
      if (!dashed && all_digits(date)) date.insert(6, "-").insert(4, "-");
      if (is_calendar_date(date)) return date;
    }
  }
  return std::nullopt;
}

}  // namespace boxfettle
