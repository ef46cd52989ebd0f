#include "paper/calendar_feed.hpp"

#include <libical/ical.h>

#include <cstdlib>
#include <memory>
#include <string_view>

#include "shop/content_hash.hpp"

namespace boxfettle {
namespace {

struct Freed {
  void operator()(icalcomponent* component) const { icalcomponent_free(component); }
};
using Component = std::unique_ptr<icalcomponent, Freed>;

icaltimetype in_utc(UtcTime at) {
  return icaltime_from_timet_with_zone(static_cast<time_t>(at.ms_since_epoch / 1000), 0,
                                       icaltimezone_get_utc_timezone());
}

std::string one_line(std::string text) {
  for (char& c : text)
    if (c == '\r' || c == '\n' || c == '\t') c = ' ';
  return text;
}

// Numbers and names may hold what a UID should not.
std::string uid_of(const DueItem& item) {
  return content_hash(item.id).hex().substr(0, 32) + "@boxfettle";
}

std::string link_of(const DueItem& item, const std::string& address) {
  if (address.empty() || item.box.empty()) return "";
  constexpr std::string_view hex = "0123456789ABCDEF";
  std::string link = address + "/#/box/";
  for (const unsigned char c : item.box) {
    const bool plain = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '-' ||
                       c == '_' || c == '.';
    if (plain)
      link += static_cast<char>(c);
    else
      link += std::string("%") + hex[c >> 4] + hex[c & 15];
  }
  return link;
}

void add_event(icalcomponent* calendar, const DueItem& item, UtcTime now, const std::string& address) {
  icalcomponent* event = icalcomponent_new_vevent();
  icalcomponent_add_property(event, icalproperty_new_uid(uid_of(item).c_str()));
  icalcomponent_add_property(event, icalproperty_new_dtstamp(in_utc(now)));
  icalcomponent_add_property(event, icalproperty_new_dtstart(in_utc(item.at)));
  icalcomponent_add_property(event, icalproperty_new_summary(one_line(item.text).c_str()));
  icalcomponent_add_property(event, icalproperty_new_categories(std::string(name(item.what)).c_str()));
  // A moment, not a time that anybody is busy.
  icalcomponent_add_property(event, icalproperty_new_transp(ICAL_TRANSP_TRANSPARENT));
  if (const std::string link = link_of(item, address); !link.empty())
    icalcomponent_add_property(event, icalproperty_new_url(link.c_str()));
  icalcomponent_add_component(calendar, event);
}

}  // namespace

std::string calendar_feed(const std::string& calendar_name, std::span<const DueItem> items, UtcTime now,
                          const std::string& address) {
  const Component calendar(icalcomponent_new_vcalendar());
  icalcomponent_add_property(calendar.get(), icalproperty_new_version("2.0"));
  icalcomponent_add_property(calendar.get(), icalproperty_new_prodid("-//Boxfettle//What is due//EN"));
  icalproperty* shown_name = icalproperty_new_x(one_line(calendar_name).c_str());
  icalproperty_set_x_name(shown_name, "X-WR-CALNAME");
  icalcomponent_add_property(calendar.get(), shown_name);
  for (const DueItem& item : items) add_event(calendar.get(), item, now, address);
  const std::unique_ptr<char, decltype(&free)> text(icalcomponent_as_ical_string_r(calendar.get()), &free);
  return text.get();
}

}  // namespace boxfettle
