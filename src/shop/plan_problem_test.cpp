#include "shop/plan_problem.hpp"

#include <gmock/gmock.h>

#include "shop/work_calendar.hpp"

namespace boxfettle {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

const UtcTime wednesday = UtcTime::parse("2026-11-25T10:10:00Z");

TEST(WorkCalendar, CountsWholeHalfHoursOfTheDaysWorked) {
  const FitterHours hours{"Ines", {"fitting"}, 7 * 60 + 10, 9 * 60, {3, 5}};  // Wednesday and Friday, 07:10 to 09:00
  const auto working = working_half_hours(hours, {}, UtcTime::parse("2026-11-25T00:00:00Z"));
  ASSERT_GE(working.size(), 6u);
  EXPECT_THAT(std::vector(working.begin(), working.begin() + 6), ElementsAre(15, 16, 17, 111, 112, 113));
}

TEST(WorkCalendar, LeavesOutWhatLiesInAnAbsenceOfTheFitterOrOfAll) {
  const FitterHours hours{"Ines", {"fitting"}, 7 * 60, 9 * 60, {3}};
  const auto at = [](const char* time) { return UtcTime::parse(std::string("2026-11-25T") + time + "Z"); };
  const std::vector<FitterAway> away{{"Ines", at("07:15:00"), at("07:30:00"), ""}, {"", at("08:30:00"), at("12:00:00"), ""},
                                     {"Odo", at("00:00:00"), at("23:00:00"), ""}};
  const auto working = working_half_hours(hours, away, UtcTime::parse("2026-11-25T00:00:00Z"));
  ASSERT_GE(working.size(), 2u);
  EXPECT_EQ(working[0], 15);
  EXPECT_EQ(working[1], 16);
  EXPECT_GT(working[2], 48);
}

TEST(WorkCalendar, CountsWhatWasWorkedBetweenTwoTimes) {
  const FitterHours hours{"Ines", {"fitting"}, 7 * 60, 15 * 60, {1, 2, 3, 4, 5}};
  EXPECT_EQ(worked_half_hours(hours, {}, UtcTime::parse("2026-11-20T14:00:00Z"), UtcTime::parse("2026-11-23T08:10:00Z")), 4);
}

class ToolRoom : public testing::Test {
 protected:
  ToolRoom() { tell_shop(FitterHours{"Ines", {"fitting"}, 7 * 60, 15 * 60, {1, 2, 3, 4, 5}}); }

  void tell_shop(EntryBody body) { fold(shop_, entry(std::string(whole_shop), std::move(body))); }
  void tell(const std::string& box, EntryBody body) {
    auto& state = boxes_[box];
    if (!state) state = std::make_shared<BoxState>();
    fold_into(*state, entry(box, std::move(body)));
  }
  PlanQuestion question() {
    std::vector<std::shared_ptr<const BoxState>> all;
    for (const auto& [id, state] : boxes_) all.push_back(state);
    return plan_question(shop_, all, {}, wednesday);
  }

 private:
  Entry entry(std::string box, EntryBody body) {
    Entry entry;
    entry.seq = ++seq_;
    entry.at = wednesday;
    entry.box = std::move(box);
    entry.body = std::move(body);
    return entry;
  }

  ShopState shop_;
  std::map<std::string, std::shared_ptr<BoxState>> boxes_;
  std::int64_t seq_ = 0;
};

JobRaised job(const std::string& number, double hours, const std::string& skill = "fitting") {
  return {number, "mend", skill, hours, {}, 0, ""};
}

TEST_F(ToolRoom, AsksForEveryOpenJobInHalfHoursFromTheNextFullOrHalfHour) {
  tell("TM-0412", job("TM-0412/J1", 1.2));
  tell("TM-0412", RunPlanned{"TM-0412/P1", UtcTime::parse("2026-11-25T13:30:00Z"), 0, 2, "", ""});
  const PlanProblem problem = question().problem;
  EXPECT_EQ(problem.start.iso(), "2026-11-25T10:30:00.000Z");
  ASSERT_EQ(problem.jobs.size(), 1u);
  EXPECT_EQ(problem.jobs[0].length, 3);
  EXPECT_THAT(problem.jobs[0].hands, ElementsAre(0));
  ASSERT_EQ(problem.boxes[0].runs.size(), 1u);
  EXPECT_EQ(problem.boxes[0].runs[0].start, 6);
  EXPECT_EQ(problem.boxes[0].runs[0].weight, 20);
}

TEST_F(ToolRoom, AJobNobodyCanDoIsToldWithWhatLacksAndSoIsWhateverFollowsIt) {
  tell("TM-0412", job("TM-0412/J1", 2, "welding"));
  JobRaised after = job("TM-0412/J2", 2);
  after.after = "TM-0412/J1";
  tell("TM-0412", after);
  const PlanQuestion asked = question();
  EXPECT_THAT(asked.problem.jobs, IsEmpty());
  ASSERT_EQ(asked.not_planned.size(), 2u);
  EXPECT_EQ(asked.not_planned[0].why, JobNotPlanned::Why::no_fitter);
  EXPECT_EQ(asked.not_planned[0].lacks, "welding");
  EXPECT_EQ(asked.not_planned[1].why, JobNotPlanned::Why::after_such);
}

TEST_F(ToolRoom, TheLastSpareGoesToTheJobWhoseRunComesFirst) {
  tell_shop(SpareCounted{"PIN-12-H", "", 1, 0, {}, 0});
  for (const char* box : {"TM-0001", "TM-0002"}) {
    JobRaised needs = job(std::string(box) + "/J1", 2);
    needs.parts = {{"PIN-12-H", 1}};
    tell(box, needs);
  }
  tell("TM-0002", RunPlanned{"TM-0002/P1", wednesday + std::chrono::hours(24), 0, 1, "", ""});
  const PlanQuestion asked = question();
  ASSERT_EQ(asked.problem.jobs.size(), 1u);
  EXPECT_EQ(asked.problem.jobs[0].job, "TM-0002/J1");
  ASSERT_EQ(asked.not_planned.size(), 1u);
  EXPECT_EQ(asked.not_planned[0].lacks, "PIN-12-H");
}

TEST_F(ToolRoom, WaitsForADeliveryThatIsToComeAndCountsOnNoneThatIsOverdue) {
  JobRaised needs = job("TM-0001/J1", 2);
  needs.parts = {{"PIN-12-H", 2}};
  tell("TM-0001", needs);
  tell_shop(SpareCounted{"PIN-12-H", "", 1, 0, wednesday + std::chrono::hours(48), 1});
  const PlanQuestion waiting = question();
  ASSERT_EQ(waiting.problem.jobs.size(), 1u);
  EXPECT_EQ(waiting.problem.jobs[0].earliest, 96);
  tell_shop(SpareCounted{"PIN-12-H", "", 1, 0, wednesday - std::chrono::hours(1), 1});
  EXPECT_THAT(question().problem.jobs, IsEmpty());
}

TEST_F(ToolRoom, AJobBegunStaysWithItsFitterAndHasItsSparesAlready) {
  tell_shop(FitterHours{"Odo", {"fitting"}, 7 * 60, 15 * 60, {1, 2, 3, 4, 5}});
  tell_shop(SpareCounted{"PIN-12-H", "", 1, 0, {}, 0});
  JobRaised needs = job("TM-0001/J1", 2);
  needs.parts = {{"PIN-12-H", 1}};
  tell("TM-0001", needs);
  tell("TM-0001", JobStarted{"TM-0001/J1", "Odo"});
  const PlanProblem problem = question().problem;
  ASSERT_EQ(problem.jobs.size(), 1u);
  EXPECT_TRUE(problem.jobs[0].begun);
  EXPECT_EQ(problem.fitters[problem.jobs[0].hands[0]].name, "Odo");
  EXPECT_THAT(problem.jobs[0].needs, IsEmpty());
}

TEST(SparesOnShelf, AreThoseCountedLessWhatJobsBegunSinceHaveTaken) {
  ShopState shop;
  auto box = std::make_shared<BoxState>();
  std::int64_t seq = 0;
  const auto told = [&](EntryBody body) {
    Entry entry;
    entry.seq = ++seq;
    entry.box = of_whole_shop(body) ? std::string(whole_shop) : "TM-0001";
    entry.body = std::move(body);
    fold(shop, entry);
    fold_into(*box, entry);
  };
  const auto shelf = [&] {
    const std::vector<std::shared_ptr<const BoxState>> boxes{box};
    return spares_on_shelf(shop, boxes).at(0);
  };
  box->box = "TM-0001";
  JobRaised needs = job("TM-0001/J1", 2);
  needs.parts = {{"PIN-12-H", 2}};
  told(needs);
  EXPECT_FALSE(shelf().counted);
  EXPECT_EQ(shelf().missing(), 2);
  told(SpareCounted{"PIN-12-H", "", 5, 4, {}, 0});
  EXPECT_EQ(shelf().wanted, 2);
  EXPECT_EQ(shelf().below_minimum(), 0);
  told(JobStarted{"TM-0001/J1", "Ines"});
  EXPECT_EQ(shelf().there, 3);
  EXPECT_EQ(shelf().wanted, 0);
  EXPECT_EQ(shelf().below_minimum(), 1);
  told(SpareCounted{"PIN-12-H", "", 3, 4, {}, 0});  // counted after they were taken
  EXPECT_EQ(shelf().there, 3);
}

}  // namespace
}  // namespace boxfettle
