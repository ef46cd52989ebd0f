// Days as people write them in file names and tables.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace boxfettle {

// Whether `text` is a day of the calendar, written YYYY-MM-DD, years 1900 to 2199.
bool is_calendar_date(std::string_view text);

// The first day written in a name, as YYYY-MM-DD or YYYYMMDD with no digit before or behind it; given back as
// YYYY-MM-DD.
std::optional<std::string> date_in_name(std::string_view name);

}  // namespace boxfettle
