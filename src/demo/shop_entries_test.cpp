#include "demo/shop_entries.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "demo/shop_boxes.hpp"
#include "shop/box_state.hpp"
#include "shop/logbook.hpp"
#include "shop/verdict.hpp"

namespace boxfettle::demo {
namespace {

const UtcTime now = UtcTime::parse("2026-11-25T10:30:00Z");

std::vector<BoxStory> every_story(UtcTime at = now) {
  std::vector<BoxStory> stories;
  for (const ShopBox& box : shop_boxes()) {
    BoxRegistered registration;
    registration.name = box.name;
    registration.process = name(box.process);
    registration.material = name(box.material);
    registration.home_place = box.home_place;
    stories.push_back(box_story(box, registration, shipped_catalogue(), at));
  }
  return stories;
}

class InventedShop : public testing::Test {
 protected:
  static const std::vector<Entry>& logbook() {
    static const std::vector<Entry> entries = entries_of(every_story(), shipped_catalogue());
    return entries;
  }
  static Verdict verdict_of(std::string_view box) {
    return verdict(replay(box, logbook()), shipped_catalogue(), now);
  }
};

TEST_F(InventedShop, ItsLogbookIsOneWholeChainOfTwoYearsThatEndsNow) {
  const std::vector<Entry>& entries = logbook();
  EXPECT_TRUE(verify(entries).whole);
  EXPECT_GT(entries.size(), 1500u);
  EXPECT_LT(entries.size(), 10000u);
  EXPECT_TRUE(std::is_sorted(entries.begin(), entries.end(),
                             [](const Entry& a, const Entry& b) { return a.at < b.at; }));
  EXPECT_GT(entries.back().at - entries.front().at, std::chrono::days(720));
  EXPECT_LE(entries.back().at, now);
}

TEST_F(InventedShop, HasFortyBoxesInOrderEachInItsOwnBay) {
  EXPECT_EQ(shop_boxes().size(), 40u);
  std::set<std::string_view> bays;
  for (const ShopBox& box : shop_boxes()) bays.insert(box.home_place);
  EXPECT_EQ(bays.size(), 40u);
  EXPECT_TRUE(std::is_sorted(shop_boxes().begin(), shop_boxes().end(),
                             [](const ShopBox& a, const ShopBox& b) { return a.id < b.id; }));
}

TEST_F(InventedShop, EachBoxEndsAsItsEndingSays) {
  const std::map<Ending, Fitness> expected{{Ending::fit, Fitness::fit},
                                           {Ending::running, Fitness::fit},
                                           {Ending::away, Fitness::watch},
                                           {Ending::missing, Fitness::watch},
                                           {Ending::springs_open, Fitness::watch},
                                           {Ending::overdue, Fitness::watch},
                                           {Ending::torn_vents, Fitness::watch},
                                           {Ending::baked_on, Fitness::watch},
                                           {Ending::new_box, Fitness::watch},
                                           {Ending::wrong_piece, Fitness::hold},
                                           {Ending::loose_handle, Fitness::hold},
                                           {Ending::at_the_tool_room, Fitness::hold}};
  for (const ShopBox& box : shop_boxes())
    EXPECT_EQ(verdict_of(box.id).state, expected.at(box.ending)) << box.id;
}

TEST_F(InventedShop, ExactlyOneBoxIsOnSafetyHold) {
  std::vector<std::string> unsafe;
  for (const ShopBox& box : shop_boxes())
    for (const OpenHold& hold : replay(box.id, logbook()).holds)
      if (hold.held.safety) unsafe.emplace_back(box.id);
  EXPECT_THAT(unsafe, testing::ElementsAre("TM-0403"));
}

TEST_F(InventedShop, EveryKindOfEntryAndEveryKindOfPlaceOccurs) {
  std::set<std::string_view> kinds, places;
  for (const Entry& entry : logbook()) {
    kinds.insert(kind(entry.body));
    if (const auto* moved = std::get_if<Moved>(&entry.body)) places.insert(name(moved->to.kind));
  }
  EXPECT_THAT(kinds, testing::IsSupersetOf({"registered", "moved", "inspected", "held", "released", "note"}));
  EXPECT_THAT(places,
              testing::UnorderedElementsAre("bay", "station", "tool-room", "outside-shop", "missing"));
}

TEST_F(InventedShop, TheVoluteIsShootingSinceThisMorning) {
  EXPECT_EQ(replay("TM-0412", logbook()).place.kind, Place::Kind::station);
  for (const ShopBox& box : shop_boxes()) {
    const bool at_station = replay(box.id, logbook()).place.kind == Place::Kind::station;
    EXPECT_EQ(at_station, box.ending == Ending::running) << box.id;
  }
}

TEST_F(InventedShop, ShotsAreCountedOnlyWhileTheBoxStandsAtThatStation) {
  const std::vector<BoxStory> stories = every_story();
  std::size_t runs = 0;
  for (const BoxStory& story : stories)
    for (const ShotCount& run : story.shots) {
      Place place;
      for (const Telling& telling : story.tellings)
        if (const auto* move = std::get_if<MoveBox>(&telling.what); move && telling.at <= run.at)
          place = move->to;
      EXPECT_EQ(place.kind, Place::Kind::station) << run.box << " " << run.at.iso();
      EXPECT_EQ(place.text, run.station);
      ++runs;
    }
  EXPECT_GT(runs, 1000u);
}

TEST_F(InventedShop, NoTellingIsLaterThanNowWhateverTheHour) {
  for (const char* at : {"2026-11-25T00:00:30Z", "2026-02-28T23:59:59Z"}) {
    const UtcTime moment = UtcTime::parse(at);
    for (const BoxStory& story : every_story(moment))
      for (const Telling& telling : story.tellings) EXPECT_LE(telling.at, moment) << telling.box;
    EXPECT_TRUE(verify(entries_of(every_story(moment), shipped_catalogue())).whole);
  }
}

TEST_F(InventedShop, IsToldTheSameEachTime) {
  EXPECT_EQ(entries_of(every_story(), shipped_catalogue()).back().hash, logbook().back().hash);
}

}  // namespace
}  // namespace boxfettle::demo
