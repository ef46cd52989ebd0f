#include "shop/tool_room_work.hpp"

#include <gmock/gmock.h>

#include <set>

#include "input/input_error.hpp"
#include "shop/checkpoint.hpp"

namespace boxfettle {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class BoxWithFindings : public testing::Test {
 protected:
  BoxWithFindings() { tell(BoxRegistered{"Pump volute core", "", "cold-box", "aluminium", "", {}, {}, {}, ""}); }

  std::int64_t tell(EntryBody body) {
    Entry entry;
    entry.seq = ++seq_;
    entry.who = "Ada";
    entry.box = "TM-0412";
    entry.body = std::move(body);
    box_.box = "TM-0412";
    fold_into(box_, entry);
    return seq_;
  }
  std::int64_t fail(const std::string& checkpoint, const std::string& remark = "") {
    return tell(Inspected{1, {{checkpoint, false, {}, "", remark, {}}}});
  }
  void raise(const ProposedJob& proposed) {
    JobRaised job = proposed.job;
    job.job = "TM-0412/J1";
    tell(job);
  }

  BoxState box_;
  std::int64_t seq_ = 0;
};

TEST_F(BoxWithFindings, AFailedCheckpointProposesAJobThatSaysWhatWasFound) {
  const std::int64_t entry = fail("dowels", "left bush bell-mouthed");
  const auto proposed = proposed_jobs(box_);
  ASSERT_EQ(proposed.size(), 1u);
  EXPECT_EQ(proposed[0].job.from_entry, entry);
  EXPECT_EQ(proposed[0].job.skill, "fitting");
  EXPECT_GT(proposed[0].job.hours, 0);
  EXPECT_THAT(proposed[0].found, ElementsAre("Inspection: dowels failed: left bush bell-mouthed."));
  EXPECT_THAT(proposed[0].origin, testing::HasSubstr("from memory"));
}

TEST_F(BoxWithFindings, TheJobTakesTheSparesListedForThisBoxAndSaysWhenNoneAre) {
  fail("dowels");
  EXPECT_FALSE(proposed_jobs(box_)[0].spares_listed);
  for (const char* id : {"D1", "D2"})
    tell(ComponentFitted{id, ComponentFitted::What::dowel, "", "", "PIN-12-H", ""});
  tell(ComponentFitted{"V1", ComponentFitted::What::vent, "", "", "VENT-10", ""});
  EXPECT_THAT(proposed_jobs(box_)[0].job.parts, ElementsAre(PartNeeded{"PIN-12-H", 2}));
  EXPECT_TRUE(proposed_jobs(box_)[0].spares_listed);
}

TEST_F(BoxWithFindings, ScanFindingsOfOneKindMakeOneJobAndNotesMakeNone) {
  ScanRead scan;
  scan.verdict = ScanRead::Verdict::hold;
  scan.findings = {{"wear", "hold", "Worn by 0.5 mm at the tongue.", 0.5, 0.3},
                   {"wear", "watch", "Worn by 0.3 mm at the inlet.", 0.3, 0.3},
                   {"fin", "note", "A trace of fin.", 0.05, 0.3}};
  tell(scan);
  const auto proposed = proposed_jobs(box_);
  ASSERT_EQ(proposed.size(), 1u);
  EXPECT_EQ(proposed[0].found.size(), 2u);
  EXPECT_EQ(proposed[0].job.skill, "welding");
}

TEST_F(BoxWithFindings, ACalculationThatDoesNotSayFitProposesItsJob) {
  tell(Computed{"dowels", Computed::Verdict::watch, "The halves can shift by 0.35 mm", {}, 0});
  ASSERT_EQ(proposed_jobs(box_).size(), 1u);
  tell(Computed{"dowels", Computed::Verdict::fit, "The halves can shift by 0.05 mm", {}, 0});
  EXPECT_THAT(proposed_jobs(box_), IsEmpty());
}

TEST_F(BoxWithFindings, AnAcceptedJobIsNotProposedAgainUntilTheFindingComesBackAfterIt) {
  fail("dowels");
  raise(proposed_jobs(box_)[0]);
  EXPECT_THAT(proposed_jobs(box_), IsEmpty());
  fail("dowels");  // looked at again while the job is open
  EXPECT_THAT(proposed_jobs(box_), IsEmpty());
  tell(JobDone{"TM-0412/J1", 3.5, ""});
  EXPECT_THAT(proposed_jobs(box_), IsEmpty());
  fail("dowels");
  EXPECT_EQ(proposed_jobs(box_).size(), 1u);
}

TEST_F(BoxWithFindings, ScrappedBoxesAreLeftAlone) {
  fail("dowels");
  tell(Scrapped{"beyond mending"});
  EXPECT_THAT(proposed_jobs(box_), IsEmpty());
}

TEST(ToolRoomBook, HasWorkForEveryCheckpointThatIsShipped) {
  std::set<std::string> answered;
  for (const ToolRoomWork& work : shipped_tool_room().work)
    answered.insert(work.checkpoints.begin(), work.checkpoints.end());
  for (const Checkpoint& point : shipped_catalogue().checkpoints) EXPECT_TRUE(answered.contains(point.id)) << point.id;
}

TEST(ToolRoomBook, RefusesTwoJobsForOneFindingAndUnknownComponents) {
  const std::string head = "origin = \"made up\"\n";
  const std::string job = "[[job]]\nwhat = \"mend\"\nskill = \"fitting\"\nhours = 1\ncheckpoints = [\"dowels\"]\n";
  EXPECT_NO_THROW(parse_tool_room(head + job, "t.toml"));
  EXPECT_THROW(parse_tool_room(head + job + job, "t.toml"), InputError);
  EXPECT_THROW(parse_tool_room(head + job + "renews = [\"dowl\"]\n", "t.toml"), InputError);
  EXPECT_THROW(parse_tool_room(head + job + "hour = 2\n", "t.toml"), InputError);
}

}  // namespace
}  // namespace boxfettle
