#include "shop/trace.hpp"

#include <gtest/gtest.h>

namespace boxfettle {
namespace {

using namespace std::chrono_literals;

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");

// Runs of two hours with 100 cores each at the given hours, and what was said of the dowels in between.
BoxState box_with_runs(std::initializer_list<int> hours) {
  BoxState state;
  state.box = "TM-0412";
  int number = 0;
  for (const int hour : hours) {
    RunOpened opened;
    opened.run = "TM-0412/" + std::to_string(++number);
    opened.batch = "B-" + std::to_string(number);
    RunClosed closed;
    closed.run = opened.run;
    closed.made = 100;
    closed.went_to = "moulding line 1";
    const UtcTime begin = monday + std::chrono::hours(hour);
    state.runs.past.push_back({opened, 10 * number, begin, closed, 10 * number + 5, begin + 2h});
  }
  return state;
}

const CoresBetween nobody_counted = [](UtcTime, UtcTime) { return std::nullopt; };

TEST(SuspectCores, AreThoseMadeSinceThePropertyWasLastGood) {
  BoxState state = box_with_runs({0, 10, 20});
  state.suspects.last_good["dowels"] = {7, monday + 5h};
  state.suspects.last_bad["dowels"] = {40, monday + 30h};
  state.suspects.last_good["vents"] = {39, monday + 29h};  // another property says nothing of this one
  const Suspects found = suspects(state, "dowels", nobody_counted, monday + 30h);
  ASSERT_EQ(found.lots.size(), 2u);
  EXPECT_EQ(found.lots.front().run, "TM-0412/2");
  EXPECT_EQ(found.lots.front().went_to, "moulding line 1");
  EXPECT_EQ(found.cores, 200);
}

TEST(SuspectCores, OfARunUnderWayAreCountedFromTheEvidenceOn) {
  BoxState state = box_with_runs({0});
  state.suspects.last_good["dowels"] = {7, monday + 30min};
  EXPECT_EQ(suspects(state, "dowels", nobody_counted, monday + 3h).cores, 75)
      << "three quarters of the run's time";
  const CoresBetween counter = [](UtcTime from, UtcTime before) {
    return std::optional<std::int64_t>((before - from).count() > 0 ? 62 : 0);
  };
  EXPECT_EQ(suspects(state, "dowels", counter, monday + 3h).cores, 62) << "the machine's own count is better";
}

TEST(SuspectCores, AreNoneWhenNoneWasMadeSince) {
  BoxState state = box_with_runs({0});
  state.suspects.last_good["dowels"] = {7, monday + 5h};
  const Suspects found = suspects(state, "dowels", nobody_counted, monday + 6h);
  EXPECT_EQ(found.cores, 0);
  EXPECT_EQ(found.sentence, "No core was made since it was last known good.");
}

TEST(SuspectCores, AreAllOfThemWhenNothingWasEverGood) {
  const Suspects found = suspects(box_with_runs({0, 10}), "dowels", nobody_counted, monday + 30h);
  EXPECT_TRUE(found.whole_life);
  EXPECT_EQ(found.cores, 200);
  EXPECT_NE(found.sentence.find("every core the box made"), std::string::npos);
}

TEST(SuspectCores, BeginWhereAChartSaysThatItMoved) {
  BoxState state = box_with_runs({0, 10, 20});
  const Suspects found = suspects(state, "weight", nobody_counted, monday + 30h, monday + 21h);
  ASSERT_EQ(found.lots.size(), 1u);
  EXPECT_EQ(found.cores, 50);
}

TEST(SuspectCores, OfADoubtAreAskedForUntilTheyAreListed) {
  BoxState state = box_with_runs({0});
  state.suspects.last_good["dowels"] = {7, monday};
  state.suspects.last_bad["dowels"] = {40, monday + 5h};
  EXPECT_EQ(untraced_doubts(state), std::vector<std::string>{"dowels"});
  SuspectsListed listed;
  listed.trace = "TM-0412/T1";
  listed.property = "dowels";
  state.suspects.traces["TM-0412/T1"] = {listed, 41, monday + 5h, {}, {}};
  EXPECT_TRUE(untraced_doubts(state).empty());
}

}  // namespace
}  // namespace boxfettle
