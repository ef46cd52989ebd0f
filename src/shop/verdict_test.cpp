#include "shop/verdict.hpp"

#include <gmock/gmock.h>

#include "shop/invented_requests.hpp"
#include "shop/logbook.hpp"

namespace boxfettle {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::Field;
using testing::HasSubstr;
using testing::IsEmpty;

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");

Inspected full_inspection() {
  Inspected inspected{shipped_catalogue().version, {}};
  for (const Checkpoint& point : shipped_catalogue().checkpoints)
    inspected.results.push_back({point.id, true, {}, "", ""});
  return inspected;
}

Inspected failed(const std::string& checkpoint) {
  return {1, {{checkpoint, false, {}, "", "seen by torch"}}};
}

ScanRead scan_saying(ScanRead::Verdict verdict) {
  return {.reading = "r1",
          .file_name = "volute.ply",
          .of = ScanRead::Subject::core,
          .scan = {},
          .verdict = verdict,
          .findings = {{"wear", "hold", "Worn 0.5 mm at the tongue.", 0.5, 0.3}},
          .mismatch_mm = {},
          .gap_mm = {}};
}

// The verdict after the box was registered and these things were told of it, all on Monday.
Verdict after(std::vector<EntryBody> bodies, UtcTime now = monday) {
  bodies.insert(bodies.begin(), volute_box());
  return verdict(replay("TM-0412", append({}, {monday, "Asha", "request-1", "TM-0412", bodies})),
                 shipped_catalogue(), now);
}

TEST(Verdict, ANewBoxIsToBeWatchedUntilItWasInspected) {
  const Verdict told = after({});
  EXPECT_EQ(told.state, Fitness::watch);
  EXPECT_THAT(told.reasons,
              ElementsAre(AllOf(Field(&Reason::text, "Not inspected yet."), Field(&Reason::entry, 1))));
}

TEST(Verdict, AFullyPassedInspectionMakesItFit) {
  const Verdict told = after({full_inspection()});
  EXPECT_EQ(told.state, Fitness::fit);
  EXPECT_THAT(told.reasons, IsEmpty());
}

TEST(Verdict, ABoxThatIsMissingOrAwayIsWatchedHoweverGoodItWas) {
  for (const auto kind : {Place::Kind::missing, Place::Kind::outside_shop}) {
    const Verdict told = after({full_inspection(), Moved{{kind, "not in its bay"}}});
    EXPECT_EQ(told.state, Fitness::watch);
    EXPECT_THAT(told.reasons, ElementsAre(AllOf(Field(&Reason::text, HasSubstr("(not in its bay)")),
                                                Field(&Reason::entry, 3))));
  }
  EXPECT_EQ(after({full_inspection(), Moved{{Place::Kind::missing, ""}}, Moved{{Place::Kind::bay, "Rack B"}}})
                .state,
            Fitness::fit);
}

TEST(Verdict, AHalfDoneInspectionNamesWhatIsLeft) {
  Inspected half = full_inspection();
  half.results.pop_back();
  const Verdict told = after({half});
  EXPECT_EQ(told.state, Fitness::watch);
  EXPECT_THAT(told.reasons, ElementsAre(Field(&Reason::text, "Not inspected yet: Seals.")));
}

TEST(Verdict, AFailedCheckpointHasItsConsequence) {
  EXPECT_EQ(after({full_inspection(), failed("vents")}).state, Fitness::watch);
  EXPECT_EQ(after({full_inspection(), failed("dowels")}).state, Fitness::hold);
  const Verdict handles = after({full_inspection(), failed("handles")});
  EXPECT_THAT(handles.reasons, ElementsAre(AllOf(Field(&Reason::safety, true), Field(&Reason::entry, 3),
                                                 Field(&Reason::text, HasSubstr("seen by torch")))));
  EXPECT_EQ(after({failed("dowels"), full_inspection()}).state, Fitness::fit) << "the last look counts";
}

TEST(Verdict, SafetyComesFirstThenHoldThenWatch) {
  const Verdict told =
      after({full_inspection(), failed("vents"), failed("dowels"), Held{"handle off", true, "handles"}});
  EXPECT_THAT(told.reasons,
              ElementsAre(AllOf(Field(&Reason::safety, true), Field(&Reason::entry, 5)),
                          AllOf(Field(&Reason::state, Fitness::hold), Field(&Reason::entry, 4)),
                          AllOf(Field(&Reason::state, Fitness::watch), Field(&Reason::entry, 3))));
}

TEST(Verdict, AReleasedHoldNoLongerCounts) {
  EXPECT_EQ(after({full_inspection(), Held{"sticks", false, ""}}).state, Fitness::hold);
  EXPECT_EQ(after({full_inspection(), Held{"sticks", false, ""}, Released{"cleaned", {3}}}).state,
            Fitness::fit);
}

TEST(Verdict, TheLastScanCountsAndSaysItsHardestFinding) {
  const Verdict held = after({full_inspection(), scan_saying(ScanRead::Verdict::hold)});
  EXPECT_THAT(held.reasons, ElementsAre(AllOf(Field(&Reason::state, Fitness::hold), Field(&Reason::entry, 3),
                                              Field(&Reason::text, HasSubstr("0.5 mm at the tongue")))));
  EXPECT_EQ(
      after({full_inspection(), scan_saying(ScanRead::Verdict::hold), scan_saying(ScanRead::Verdict::fit)})
          .state,
      Fitness::fit);
}

TEST(Verdict, ASoundHalfLiftsNothingThatACoreOrTheOtherHalfShowed) {
  using enum ScanRead::Subject;
  for (const auto bad : {core, half_upper, half_lower})
    for (const auto sound : {core, half_upper, half_lower}) {
      ScanRead held = scan_saying(ScanRead::Verdict::hold), fit = scan_saying(ScanRead::Verdict::fit);
      held.of = bad;
      fit.of = sound;
      EXPECT_EQ(after({full_inspection(), held, fit}).state, bad == sound ? Fitness::fit : Fitness::hold);
    }
  ScanRead held = scan_saying(ScanRead::Verdict::hold);
  held.of = half_lower;
  EXPECT_THAT(after({full_inspection(), held}).reasons,
              ElementsAre(Field(&Reason::text, HasSubstr("The lower half's scan of"))));
}

TEST(Verdict, AScanThatCannotTellIsToldButLiftsNothing) {
  const auto cannot_tell = scan_saying(ScanRead::Verdict::cannot_tell);
  const Verdict alone = after({full_inspection(), cannot_tell});
  EXPECT_EQ(alone.state, Fitness::fit);
  EXPECT_THAT(alone.reasons, ElementsAre(Field(&Reason::state, Fitness::fit)));
  EXPECT_EQ(after({full_inspection(), scan_saying(ScanRead::Verdict::hold), cannot_tell}).state,
            Fitness::hold);
}

TEST(Verdict, AnOldInspectionIsToBeRenewedAndOneRecheckDoesNotRenewAll) {
  const auto limit = shipped_catalogue().inspect_again_after;
  EXPECT_EQ(after({full_inspection()}, monday + limit).state, Fitness::fit);
  const UtcTime late = monday + limit + std::chrono::minutes{1};
  EXPECT_THAT(after({full_inspection()}, late).reasons,
              ElementsAre(AllOf(Field(&Reason::state, Fitness::watch),
                                Field(&Reason::text, HasSubstr("common practice")))));

  auto entries = append({}, {monday, "Asha", "request-1", "TM-0412", {volute_box(), full_inspection()}});
  const Draft recheck{late, "Asha", "request-2", "TM-0412", {Inspected{1, {{"vents", true, {}, "", ""}}}}};
  for (const Entry& entry : append(head_after(entries.back()), recheck)) entries.push_back(entry);
  const Verdict told = verdict(replay("TM-0412", entries), shipped_catalogue(), late);
  EXPECT_THAT(told.reasons, ElementsAre(Field(&Reason::text, HasSubstr("11 checkpoints were"))));
}

TEST(Verdict, AnUnregisteredBoxIsHeld) {
  EXPECT_EQ(verdict(replay("TM-9999", {}), shipped_catalogue(), monday).state, Fitness::hold);
}

}  // namespace
}  // namespace boxfettle
