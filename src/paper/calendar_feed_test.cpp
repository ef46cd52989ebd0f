#include "paper/calendar_feed.hpp"

#include <gmock/gmock.h>
#include <libical/ical.h>
#include <rapidcheck/gtest.h>

#include <memory>
#include <set>
#include <vector>

namespace boxfettle {
namespace {

const UtcTime now = UtcTime::parse("2026-11-25T10:30:00Z");

DueItem item(const std::string& id, const std::string& text, UtcTime at) {
  return {DueItem::What::run, id, "TM-0412", text, at, 0, {Role::supervisor}};
}

struct Freed {
  void operator()(icalcomponent* component) const { icalcomponent_free(component); }
};

struct ReadBack {
  std::string uid, summary;
  std::int64_t at_s = 0;
};

// As a calendar reads it; the outside witness.
std::vector<ReadBack> read_back(const std::string& text) {
  const std::unique_ptr<icalcomponent, Freed> calendar(icalparser_parse_string(text.c_str()));
  std::vector<ReadBack> events;
  if (!calendar) return events;
  EXPECT_EQ(icalcomponent_count_errors(calendar.get()), 0);
  EXPECT_TRUE(icalrestriction_check(calendar.get()));
  for (icalcomponent* event = icalcomponent_get_first_component(calendar.get(), ICAL_VEVENT_COMPONENT); event != nullptr;
       event = icalcomponent_get_next_component(calendar.get(), ICAL_VEVENT_COMPONENT))
    events.push_back({icalcomponent_get_uid(event), icalcomponent_get_summary(event),
                      static_cast<std::int64_t>(icaltime_as_timet_with_zone(icalcomponent_get_dtstart(event),
                                                                            icaltimezone_get_utc_timezone()))});
  return events;
}

// RFC 5545, 3.1: lines end with CR LF, and none is longer than 75 octets without it.
std::string wrong_line(const std::string& text) {
  if (!text.ends_with("\r\n")) return "the text does not end with CR LF";
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = text.find("\r\n", from);
    const std::string line = text.substr(from, end - from);
    if (line.size() > 75) return "too long: " + line;
    if (line.find_first_of("\r\n") != std::string::npos) return "a lone CR or LF: " + line;
    from = end + 2;
  }
  return "";
}

TEST(CalendarFeed, IsReadBackWithItsWordsAndTimes) {
  const std::vector<DueItem> items{item("run P1", "Run P1 of TM-0412, 400 cores; 2 jobs open, \"O-22\\84\".", now),
                                   item("run P2", "Kernkasten pr\xC3\xBC" "fen", now + std::chrono::hours(30))};
  const std::string text = calendar_feed("Tarnmoor Castings", items, now, "https://shop.example");
  const auto events = read_back(text);
  ASSERT_EQ(events.size(), 2u);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_EQ(events[i].summary, items[i].text);
    EXPECT_EQ(events[i].at_s, items[i].at.ms_since_epoch / 1000);
  }
  EXPECT_EQ(wrong_line(text), "");
  EXPECT_THAT(text, testing::HasSubstr("DTSTART:20261125T103000Z\r\n"));
  EXPECT_THAT(text, testing::HasSubstr("URL:https://shop.example/#/box/TM-0412\r\n"));
}

TEST(CalendarFeed, HasEachThingUnderTheSameUidEveryTime) {
  const std::vector<DueItem> before{item("run P1", "Run P1", now)}, after{item("run P1", "Run P1, later", now + std::chrono::hours(1))};
  EXPECT_EQ(read_back(calendar_feed("shop", before, now))[0].uid, read_back(calendar_feed("shop", after, now))[0].uid);
}

TEST(CalendarFeed, OfNothingIsStillACalendar) {
  const std::string text = calendar_feed("shop", {}, now);
  EXPECT_TRUE(text.starts_with("BEGIN:VCALENDAR\r\n"));
  EXPECT_EQ(wrong_line(text), "");
}

RC_GTEST_PROP(CalendarFeed, KeepsEveryLineShortWhateverTheWords, ()) {
  std::string words = "Run ";
  const int pieces = *rc::gen::inRange(0, 60);
  for (int i = 0; i < pieces; ++i)
    words += *rc::gen::element<std::string>("Kern", " ", ",", ";", "\\", "\xC3\xBC", "\xE2\x82\xAC", "\n", ":", "\"", "core box");
  const std::string text = calendar_feed(words, std::vector{item("run " + words, words, now)}, now);
  RC_ASSERT(wrong_line(text) == "");
  RC_ASSERT(read_back(text).size() == 1u);
}

}  // namespace
}  // namespace boxfettle
