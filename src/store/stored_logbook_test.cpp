#include "store/stored_logbook.hpp"

#include <gmock/gmock.h>

#include <thread>

#include "input/input_error.hpp"
#include "shop/box_state.hpp"
#include "store/scratch_dir.hpp"

namespace boxfettle {
namespace {

using How = Appended::How;

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");
const Person asha{"Asha", Role::supervisor};

BoxRegistered volute_box() {
  return {.name = "Pump volute core",
          .makes = "Volute core",
          .process = "cold-box",
          .material = "aluminium",
          .home_place = "Rack B, bay 3",
          .limits = {},
          .box_file = {},
          .design = {},
          .design_name = ""};
}

std::vector<Entry> notes(const Head& head, const std::string& request, std::vector<EntryBody> bodies) {
  return append(head, {monday, "Asha", request, "TM-0412", std::move(bodies)});
}

class OnDisk : public testing::Test {
 protected:
  CarriedOut ask(const std::string& id, const std::string& box, decltype(Request::what) what) {
    return carry_out(logbook, {id, box, std::move(what)}, asha, shipped_catalogue(), Standing{.now = monday});
  }

  ScratchDir dir;
  Database database{dir.path() / "record.sqlite"};
  StoredLogbook logbook{database};
};

TEST_F(OnDisk, WhatWasWrittenIsReadBackEqual) {
  const auto written = notes(
      {}, "request-1", {volute_box(), NoteWritten{"first"}, Moved{{Place::Kind::station, "Station 1"}}});
  EXPECT_EQ(logbook.append(written).how, How::written);
  EXPECT_EQ(logbook.all(), written);
  EXPECT_EQ(logbook.of_box("TM-0412"), written);
  EXPECT_EQ(logbook.since(2), std::vector<Entry>{written[2]});
  EXPECT_EQ(logbook.head(), head_after(written.back()));
  EXPECT_THAT(logbook.of_box("TM-0001"), testing::IsEmpty());
  EXPECT_EQ(logbook.boxes(), std::vector<std::string>{"TM-0412"});
}

TEST_F(OnDisk, TheSameRequestAgainReturnsWhatItCameToBefore) {
  const auto written = notes({}, "request-1", {NoteWritten{"rattles"}});
  logbook.append(written);
  const Appended again = logbook.append(notes(logbook.head(), "request-1", {NoteWritten{"something else"}}));
  EXPECT_EQ(again.how, How::already_there);
  EXPECT_EQ(again.entries, written);
  EXPECT_EQ(logbook.head().seq, 1);
}

TEST_F(OnDisk, EntriesDecidedOnAnOlderHeadAreNotWritten) {
  logbook.append(notes({}, "request-1", {NoteWritten{"one"}}));
  EXPECT_EQ(logbook.append(notes({}, "request-2", {NoteWritten{"two"}})).how, How::head_moved_on);
  EXPECT_EQ(logbook.head().seq, 1);
}

TEST_F(OnDisk, EntriesThatAreNoChainAreRefusedBeforeTheDisk) {
  auto broken = notes({}, "request-1", {NoteWritten{"one"}, NoteWritten{"two"}});
  broken[1].who = "Ravi";
  EXPECT_THROW(logbook.append(broken), std::invalid_argument);
  EXPECT_EQ(logbook.head().seq, 0);
}

TEST_F(OnDisk, ARequestIsCarriedOutOnce) {
  const auto first = std::get<0>(ask("request-1", "TM-0412", RegisterBox{volute_box()}));
  const auto held = std::get<0>(ask("request-2", "TM-0412", HoldBox{"sticks", false, ""}));
  EXPECT_EQ(std::get<0>(ask("request-2", "TM-0412", HoldBox{"sticks", false, ""})), held);
  EXPECT_EQ(logbook.all().size(), 2u);
}

TEST_F(OnDisk, ARuleThatSaysNoWritesNothing) {
  EXPECT_TRUE(std::holds_alternative<Refusal>(ask("request-1", "TM-9999", WriteNote{"who am I"})));
  EXPECT_EQ(logbook.head().seq, 0);
}

TEST_F(OnDisk, ManyThreadsWriteOneWholeChainEachRequestOnce) {
  ask("request-0", "TM-0412", RegisterBox{volute_box()});
  constexpr int threads = 4, each = 25;
  std::vector<std::thread> crew;
  for (int t = 0; t < threads; ++t)
    crew.emplace_back([&, t] {
      for (int i = 0; i < each; ++i) {
        ask("own-note-" + std::to_string(t) + "-" + std::to_string(i), "TM-0412", WriteNote{"note"});
        ask("shared-note-" + std::to_string(i), "TM-0412", WriteNote{"sent by everyone"});
      }
    });
  for (std::thread& one : crew) one.join();
  const ChainCheck check = logbook.verify();
  EXPECT_TRUE(check.whole) << check.why;
  EXPECT_EQ(check.entries, 1 + threads * each + each);
}

TEST_F(OnDisk, TwoProgramsOnOneRecordSeeEachOther) {
  Database other_database(dir.path() / "record.sqlite");
  StoredLogbook other(other_database);
  ask("request-1", "TM-0412", RegisterBox{volute_box()});
  EXPECT_EQ(other.head(), logbook.head());
  other.append(notes(other.head(), "request-2", {NoteWritten{"from the other"}}));
  EXPECT_EQ(logbook.all().size(), 2u);
}

TEST_F(OnDisk, AChangedRowIsFoundAtItsPlace) {
  logbook.append(notes({}, "request-1", {NoteWritten{"one"}, NoteWritten{"two"}, NoteWritten{"three"}}));
  for (const char* change : {"text = replace(text, 'two', 'owt')", "hash = zeroblob(32)", "hash = x'00'",
                             "box = 'TM-0001'", "request = 'request-9'", "text = ''"}) {
    database.access().run("SAVEPOINT as_it_was");
    database.access().run(std::string("UPDATE entries SET ") + change + " WHERE seq = 2");
    const ChainCheck check = logbook.verify();
    EXPECT_FALSE(check.whole) << change;
    EXPECT_EQ(check.broken_at, 2) << change;
    EXPECT_EQ(check.entries, 1) << change;
    database.access().run("ROLLBACK TO as_it_was");
    database.access().run("RELEASE as_it_was");
  }
  EXPECT_TRUE(logbook.verify().whole);
  database.access().run("DELETE FROM entries WHERE seq = 2");
  EXPECT_EQ(logbook.verify().broken_at, 2);
}

TEST_F(OnDisk, ALogbookLongerThanOnePageIsReadWhole) {
  std::vector<EntryBody> bodies(2500, NoteWritten{"again"});
  const auto written = notes({}, "request-1", std::move(bodies));
  logbook.append(written);
  EXPECT_EQ(logbook.all(), written);
  EXPECT_EQ(logbook.verify().entries, 2500);
}

}  // namespace
}  // namespace boxfettle
