// What is due as an iCalendar text (RFC 5545), for the calendars people already look at.
#pragma once

#include <span>
#include <string>

#include "shop/due.hpp"

namespace boxfettle {

// One event for each item, at the time it is due. The same item keeps its UID, so that a calendar moves it and
// does not double it. `address` is where the page is, for the links; empty: none.
std::string calendar_feed(const std::string& calendar_name, std::span<const DueItem> items, UtcTime now,
                          const std::string& address = "");

}  // namespace boxfettle
