#include "shop/present_doubt.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "shop/told_box.hpp"

namespace boxfettle {
namespace {

using namespace std::chrono_literals;
using testing::HasSubstr;
using testing::IsEmpty;

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");
const FaultNetwork& network = shipped_faults();

std::size_t at(std::string_view finding) {
  return *network.finding_named(finding);
}

DefectSeen bad(CoreDefect defect) {
  return {.defect = defect, .count = 2, .run = "TM-0412/17", .x = {}, .y = {}, .remark = "left corner"};
}

ScanRead scan_with(const std::string& kind, const std::string& severity) {
  return {.reading = "r1",
          .file_name = "volute.ply",
          .scan = {},
          .verdict = ScanRead::Verdict::hold,
          .findings = {{kind, severity, "Seen by the scan", 0.6, 0.3}},
          .mismatch_mm = 0.1,
          .gap_mm = 0.05};
}

TEST(PresentDoubt, IsNoneWhileNothingIsWrong) {
  ToldBox box;
  box.tell(monday, looked("vents", true));
  box.tell(monday, DefectNotSeen{CoreDefect::fin});
  const PresentDoubt doubt = present_doubt(box.state, network, monday + 1h);
  EXPECT_FALSE(doubt.since);
  EXPECT_THAT(doubt.evidence, IsEmpty());
  EXPECT_THAT(doubt.found, IsEmpty());
}

TEST(PresentDoubt, ABadCoreIsEvidenceAndNamesItsEntry) {
  ToldBox box;
  const auto entry = box.tell(monday, bad(CoreDefect::soft_spot));
  const PresentDoubt doubt = present_doubt(box.state, network, monday + 1h);
  ASSERT_EQ(doubt.evidence.size(), 1u);
  EXPECT_EQ(doubt.evidence[0].entry, entry);
  EXPECT_THAT(doubt.evidence[0].text, HasSubstr("soft spot on 2, run TM-0412/17: left corner"));
  EXPECT_EQ(doubt.found, (FoundSoFar{{at("soft-spot"), true}}));
  EXPECT_EQ(doubt.since, monday);
}

TEST(PresentDoubt, EndsWithTheCauseThatWasConfirmed) {
  ToldBox box;
  box.tell(monday, bad(CoreDefect::fin));
  box.tell(monday, looked("clamps", false));
  box.tell(monday + 1h, CauseConfirmed{"clamps-weak", {"fin", "clamps"}, {}, ""});
  EXPECT_FALSE(present_doubt(box.state, network, monday + 2h).since);
  box.tell(monday + 3h, bad(CoreDefect::sticking));
  EXPECT_EQ(present_doubt(box.state, network, monday + 3h).found, (FoundSoFar{{at("sticking"), true}}));
}

TEST(PresentDoubt, ABadCoreNobodyExplainedIsLetGoAfterItsDays) {
  ToldBox box;
  box.tell(monday, bad(CoreDefect::fin));
  EXPECT_TRUE(present_doubt(box.state, network, monday + network.defect_speaks).since);
  EXPECT_FALSE(present_doubt(box.state, network, monday + network.defect_speaks + 1ms).since);
}

// Vents clog within the hour; pins do not.
TEST(PresentDoubt, APassSpeaksForCoresMadeSoonAfterIt) {
  ToldBox box;
  box.tell(monday, looked("vents", true));
  box.tell(monday, looked("dowels", true));
  box.tell(monday + 3h, bad(CoreDefect::not_filled));
  EXPECT_EQ(present_doubt(box.state, network, monday + 3h).found,
            (FoundSoFar{{at("not-filled"), true}, {at("dowels"), false}}));
  box.tell(monday + 4h, looked("vents", true));
  EXPECT_EQ(present_doubt(box.state, network, monday + 4h).found,
            (FoundSoFar{{at("not-filled"), true}, {at("dowels"), false}, {at("vents"), false}}));
}

TEST(PresentDoubt, AFailedCheckpointSpeaksUntilItIsLookedAtAgain) {
  ToldBox box;
  box.tell(monday, looked("seals", false));
  EXPECT_EQ(present_doubt(box.state, network, monday + 24h * 90).found, (FoundSoFar{{at("seals"), true}}));
  box.tell(monday + 24h * 91, looked("seals", true));
  EXPECT_FALSE(present_doubt(box.state, network, monday + 24h * 91).since);
}

TEST(PresentDoubt, ADefectSeenOnceIsNotTakenBackByACoreWithoutIt) {
  ToldBox box;
  box.tell(monday, bad(CoreDefect::fin));
  box.tell(monday + 1h, DefectNotSeen{CoreDefect::fin});
  EXPECT_EQ(present_doubt(box.state, network, monday + 2h).found, (FoundSoFar{{at("fin"), true}}));
}

TEST(PresentDoubt, AReadingBeyondItsLimitSpeaksAndOneWithinItDoesNot) {
  ToldBox box;
  box.tell(monday, scan_with("wear", "note"));
  EXPECT_FALSE(present_doubt(box.state, network, monday).since);
  const auto entry = box.tell(monday + 1h, scan_with("wear", "hold"));
  const PresentDoubt doubt = present_doubt(box.state, network, monday + 1h);
  ASSERT_EQ(doubt.evidence.size(), 3u);
  EXPECT_EQ(doubt.evidence[0].text, "Seen by the scan.");
  EXPECT_EQ(doubt.evidence[0].entry, entry);
  EXPECT_EQ(doubt.found, (FoundSoFar{{at("cavity"), true}, {at("mismatch"), false}, {at("oversize"), false}}))
      << "the halves' own figures were told, and are sound";
}

TEST(PresentDoubt, WhoLooksAgainKnowsMoreThanTheReadingAndTheCalculationBefore) {
  ToldBox box;
  box.tell(monday, scan_with("build-up", "watch"));
  box.tell(monday, Computed{"dowels", Computed::Verdict::hold, "Play of 0.5 mm", {}, 0});
  EXPECT_EQ(present_doubt(box.state, network, monday).found.count(at("dowels")), 1u);
  box.tell(monday + 1h, looked("cavity", true));
  box.tell(monday + 1h, looked("dowels", true));
  EXPECT_FALSE(present_doubt(box.state, network, monday + 1h).since);
  box.tell(monday + 1h, Computed{"dowels", Computed::Verdict::watch, "Play of 0.3 mm", {}, 4});
  EXPECT_TRUE(present_doubt(box.state, network, monday + 1h).found.at(at("dowels")))
      << "computed from what that look measured";
}

EntryBody any_evidence() {
  const auto defect = static_cast<CoreDefect>(*rc::gen::inRange<std::size_t>(0, core_defect_names.size()));
  const std::string checkpoint = *rc::gen::element<std::string>("vents", "dowels", "cavity", "seals");
  switch (*rc::gen::inRange(0, 3)) {
    case 0:
      return bad(defect);
    case 1:
      return DefectNotSeen{defect};
    default:
      return looked(checkpoint, *rc::gen::arbitrary<bool>());
  }
}

// Of a checkpoint the last look counts, so each is looked at once here.
std::vector<EntryBody> evidence_of_one_hour() {
  std::vector<EntryBody> all;
  std::set<std::string> looks;
  for (int i = *rc::gen::inRange(1, 20); i > 0; --i) {
    EntryBody one = any_evidence();
    const auto* look = std::get_if<Inspected>(&one);
    if (look == nullptr || looks.insert(look->results[0].checkpoint).second) all.push_back(one);
  }
  return all;
}

FoundSoFar found_after(const std::vector<EntryBody>& told) {
  ToldBox box;
  for (const EntryBody& one : told) box.tell(monday, one);
  return present_doubt(box.state, network, monday + 1h).found;
}

RC_GTEST_PROP(PresentDoubt, TheOrderInWhichThingsAreToldDoesNotMatter, ()) {
  const std::vector<EntryBody> told = evidence_of_one_hour();
  std::vector<EntryBody> shuffled = told;
  for (std::size_t i = shuffled.size(); i > 1; --i)
    std::swap(shuffled[i - 1], shuffled[*rc::gen::inRange<std::size_t>(0, i)]);
  RC_ASSERT(found_after(told) == found_after(shuffled));
}

RC_GTEST_PROP(PresentDoubt, EachPieceOfEvidenceNamesAnEntryAndAgreesWithWhatIsFound, ()) {
  ToldBox box;
  for (int i = *rc::gen::inRange(0, 25); i > 0; --i)
    box.tell(monday + std::chrono::minutes(*rc::gen::inRange(0, 600)), any_evidence());
  const PresentDoubt doubt = present_doubt(box.state, network, monday + 24h);
  std::set<std::size_t> told;
  for (const FaultEvidence& one : doubt.evidence) {
    RC_ASSERT(one.entry > 0 && one.entry <= box.state.last_entry);
    RC_ASSERT(doubt.found.at(one.finding) == one.seen);
    told.insert(one.finding);
  }
  RC_ASSERT(told.size() == doubt.found.size());
}

}  // namespace
}  // namespace boxfettle
