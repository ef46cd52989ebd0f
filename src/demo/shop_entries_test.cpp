#include "demo/shop_entries.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "demo/box_parts.hpp"
#include "demo/box_story.hpp"
#include "demo/shop_boxes.hpp"
#include "demo/shop_story.hpp"
#include "shop/box_state.hpp"
#include "shop/care_clock.hpp"
#include "shop/logbook.hpp"
#include "shop/run_phase.hpp"
#include "shop/shop_state.hpp"
#include "shop/verdict.hpp"

namespace boxfettle::demo {
namespace {

const UtcTime now = UtcTime::parse("2026-11-25T10:30:00Z");

std::vector<Story> every_story(UtcTime at = now) {
  std::vector<Story> stories{shop_story(at)};
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
  static const BoxState& state_of(std::string_view box) {
    static const std::map<std::string, BoxState, std::less<>> states = [] {
      std::map<std::string, BoxState, std::less<>> all;
      for (const Entry& entry : logbook()) fold_into(all[entry.box], entry);
      return all;
    }();
    return states.find(box)->second;
  }
  static Verdict verdict_of(std::string_view box) { return verdict(state_of(box), shipped_catalogue(), now); }

  static std::vector<std::string_view> boxes_that(Ending ending) {
    std::vector<std::string_view> ids;
    for (const ShopBox& box : shop_boxes())
      if (box.ending == ending) ids.push_back(box.id);
    return ids;
  }
};

TEST_F(InventedShop, ItsLogbookIsOneWholeChainOfTwoYearsThatEndsNow) {
  const std::vector<Entry>& entries = logbook();
  EXPECT_TRUE(verify(entries).whole);
  EXPECT_GT(entries.size(), 5000u);
  EXPECT_LT(entries.size(), 20000u);
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
                                           {Ending::conceded, Fitness::watch},
                                           {Ending::suspects, Fitness::watch},
                                           {Ending::strayed, Fitness::fit},
                                           {Ending::wrong_piece, Fitness::hold},
                                           {Ending::loose_handle, Fitness::hold},
                                           {Ending::at_the_tool_room, Fitness::hold}};
  for (const ShopBox& box : shop_boxes())
    EXPECT_EQ(verdict_of(box.id).state, expected.at(box.ending)) << box.id;
}

TEST_F(InventedShop, ExactlyOneBoxIsOnSafetyHold) {
  std::vector<std::string> unsafe;
  for (const ShopBox& box : shop_boxes())
    for (const OpenHold& hold : state_of(box.id).holds)
      if (hold.held.safety) unsafe.emplace_back(box.id);
  EXPECT_THAT(unsafe, testing::ElementsAre("TM-0403"));
}

TEST_F(InventedShop, EveryKindOfPlaceOccursNow) {
  std::set<std::string_view> places;
  for (const ShopBox& box : shop_boxes()) places.insert(name(state_of(box.id).place.kind));
  EXPECT_THAT(places,
              testing::UnorderedElementsAre("bay", "station", "tool-room", "outside-shop", "missing"));
}

TEST_F(InventedShop, TellsOfRunsPiecesDefectsAndTheToolRoomAsWellAsOfTheBoxes) {
  std::set<std::string_view> kinds;
  for (const Entry& entry : logbook()) kinds.insert(kind(entry.body));
  EXPECT_THAT(kinds, testing::IsSupersetOf({"registered",       "moved",
                                            "inspected",        "held",
                                            "released",         "note",
                                            "component-fitted", "piece-registered",
                                            "stock-taken",      "conceded",
                                            "run-opened",       "first-piece",
                                            "care-done",        "handed-over",
                                            "run-closed",       "defect-seen",
                                            "defect-not-seen",  "cause-confirmed",
                                            "suspects-listed",  "lot-dealt-with",
                                            "job-raised",       "job-started",
                                            "job-done",         "run-planned",
                                            "spare-counted",    "fitter-hours",
                                            "place-registered", "sand-mix",
                                            "shop-care-chosen", "first-pieces-chosen"}));
}

TEST_F(InventedShop, TheVoluteIsShootingSinceThisMorning) {
  EXPECT_EQ(state_of("TM-0412").place.kind, Place::Kind::station);
  for (const ShopBox& box : shop_boxes()) {
    const bool at_station = state_of(box.id).place.kind == Place::Kind::station;
    EXPECT_EQ(at_station, box.ending == Ending::running) << box.id;
  }
}

TEST_F(InventedShop, TheRunOfThisMorningHasItsFirstPiecesPassedAndItsVentsOverdue) {
  const BoxState& volute = state_of("TM-0412");
  ASSERT_TRUE(volute.runs.open);
  EXPECT_EQ(run_phase(volute, shipped_catalogue(), 110, now).at, RunPhase::At::running);
  EXPECT_EQ(volute.runs.open->first_pieces.size(), 6u) << "one bad, then five good";
  EXPECT_EQ(volute.runs.open->first_pieces.back().measured.front().characteristic, "core weight");
  std::map<std::string, CareStanding::How> care;
  for (const CareStanding& one : care_standing(volute.runs, 110, now)) care[one.rule.id] = one.how;
  EXPECT_EQ(care.at("vents"), CareStanding::How::overdue);
  EXPECT_EQ(care.at("agent"), CareStanding::How::not_yet);
  EXPECT_EQ(volute.suspects.unexplained.size(), 2u);
  EXPECT_TRUE(volute.suspects.unexplained.back().seen.x) << "with its place on the core";
}

TEST_F(InventedShop, EveryLoosePieceIsAtHomeBetweenRuns) {
  for (const ShopBox& box : shop_boxes()) {
    EXPECT_EQ(state_of(box.id).kit.size(), static_cast<std::size_t>(box.loose_pieces)) << box.id;
    for (const auto& [label, piece] : state_of(box.id).kit)
      EXPECT_EQ(piece.place.text, piece.registered.home) << label;
  }
}

TEST_F(InventedShop, PastRunsHaveOrdersBatchesAndCountsThatAgreeWithTheCounter) {
  std::map<std::string, std::int64_t> counted;
  for (const Story& story : every_story())
    for (const ShotCount& shots : story.shots) counted[shots.box] += shots.shots;
  std::size_t runs = 0;
  for (const ShopBox& box : shop_boxes()) {
    for (const PastRun& run : state_of(box.id).runs.past) {
      EXPECT_FALSE(run.opened.order.empty() || run.opened.batch.empty() || run.closed.went_to.empty());
      EXPECT_LE(run.closed.bad, run.closed.made);
      ++runs;
    }
    if (box.ending == Ending::running) continue;
    EXPECT_EQ(state_of(box.id).runs.made, counted[std::string(box.id)]) << box.id;
  }
  EXPECT_GT(runs, 500u);
}

TEST_F(InventedShop, OneListOfSuspectCoresIsOpenWithOneOfItsTwoLotsSorted) {
  std::size_t open = 0;
  for (const ShopBox& box : shop_boxes())
    for (const auto& [number, trace] : state_of(box.id).suspects.traces) open += trace.closed() ? 0 : 1;
  EXPECT_EQ(open, 1u);
  const BoxState& box = state_of(boxes_that(Ending::suspects).front());
  const ListedTrace& trace = box.suspects.traces.begin()->second;
  EXPECT_EQ(trace.listed.lots.size(), 2u);
  EXPECT_EQ(trace.dealt_with.size(), 1u);
}

TEST_F(InventedShop, OneBoxRunsByConcessionAndHasShotsLeft) {
  const BoxState& box = state_of(boxes_that(Ending::conceded).front());
  ASSERT_EQ(box.concessions.size(), 1u);
  EXPECT_TRUE(conceded_now(box, box.concessions[0].conceded.holds.front(), 0, now));
  EXPECT_GT(box.runs.past.back().closed.made, 0);
  EXPECT_GT(box.runs.past.back().opened_entry, box.concessions[0].entry);
}

TEST_F(InventedShop, TheCountOfARackFoundAStrayAndMissedABox) {
  EXPECT_EQ(state_of(boxes_that(Ending::strayed).front()).place, (Place{Place::Kind::bay, "Rack D, bay 3"}));
  EXPECT_EQ(state_of(boxes_that(Ending::missing).front()).place.kind, Place::Kind::missing);
}

TEST_F(InventedShop, KnowsEveryPlaceThatABoxStandsInByItsLabel) {
  const ShopState shop = replay_shop(logbook());
  std::set<std::string> known;
  for (const auto& [label, place] : shop.places) known.insert(place.place.text);
  for (const ShopBox& box : shop_boxes())
    EXPECT_TRUE(known.contains(state_of(box.id).place.text)) << state_of(box.id).place.text;
}

TEST_F(InventedShop, WhatItsComponentsAreRenewedWithIsInStock) {
  const ShopState shop = replay_shop(logbook());
  for (const ShopBox& box : shop_boxes())
    for (const ComponentFitted& component : components_of(box))
      EXPECT_TRUE(shop.spares.contains(component.spare)) << component.spare;
  EXPECT_TRUE(std::any_of(shop.spares.begin(), shop.spares.end(), [](const auto& spare) {
    const SpareCounted& counted = spare.second.counted;
    return counted.count < counted.minimum && counted.arrives;
  }));
}

TEST_F(InventedShop, TheToolRoomHasJobsHandsAndRunsToBeReadyFor) {
  std::size_t jobs = 0, planned = 0;
  std::set<std::string> skills;
  for (const ShopBox& box : shop_boxes()) {
    planned += state_of(box.id).jobs.planned.size();
    for (const auto& [number, job] : state_of(box.id).jobs.open) {
      skills.insert(job.raised.skill);
      ++jobs;
    }
  }
  EXPECT_GE(jobs, 7u);
  EXPECT_EQ(planned, 10u);
  const ShopState shop = replay_shop(logbook());
  EXPECT_EQ(shop.fitters.size(), 3u);
  for (const std::string& skill : skills)
    EXPECT_TRUE(std::any_of(shop.fitters.begin(), shop.fitters.end(), [&](const auto& fitter) {
      const auto& can = fitter.second.skills;
      return std::find(can.begin(), can.end(), skill) != can.end();
    })) << skill;
}

TEST_F(InventedShop, ShotsAreCountedOnlyWhileARunIsOpenAtThatStation) {
  std::size_t counts = 0;
  for (const Story& story : every_story())
    for (const ShotCount& shots : story.shots) {
      const RunOpened* run = nullptr;
      for (const Telling& telling : story.tellings) {
        const auto* told = std::get_if<Tell>(&telling.what);
        if (told == nullptr || telling.at > shots.at) continue;
        if (const auto* opened = std::get_if<RunOpened>(&told->body)) run = opened;
        if (std::holds_alternative<RunClosed>(told->body)) run = nullptr;
      }
      ASSERT_NE(run, nullptr) << shots.box << " " << shots.at.iso();
      EXPECT_EQ(run->station, shots.station);
      ++counts;
    }
  EXPECT_GT(counts, 1000u);
}

TEST_F(InventedShop, NoTellingIsLaterThanNowWhateverTheHour) {
  for (const char* at : {"2026-11-25T00:00:30Z", "2026-02-28T23:59:59Z"}) {
    const UtcTime moment = UtcTime::parse(at);
    for (const Story& story : every_story(moment))
      for (const Telling& telling : story.tellings) EXPECT_LE(telling.at, moment) << telling.box;
    EXPECT_TRUE(verify(entries_of(every_story(moment), shipped_catalogue())).whole);
  }
}

TEST_F(InventedShop, IsToldTheSameEachTime) {
  EXPECT_EQ(entries_of(every_story(), shipped_catalogue()).back().hash, logbook().back().hash);
}

}  // namespace
}  // namespace boxfettle::demo
