#include "service/vent_record.hpp"

#include <gmock/gmock.h>

namespace boxfettle {
namespace {

using namespace std::chrono_literals;
using testing::HasSubstr;

const UtcTime six = UtcTime::parse("2026-11-23T06:00:00Z");

Entry told(UtcTime at, EntryBody body) {
  Entry entry;
  entry.at = at;
  entry.body = std::move(body);
  return entry;
}
Entry opened(UtcTime at) {
  RunOpened run;
  run.run = "TM-0412/1";
  return told(at, run);
}
Entry cleaned(UtcTime at) {
  return told(at, CareDone{"TM-0412/1", "vents", 40, ""});
}
Entry closed(UtcTime at) {
  RunClosed run;
  run.run = "TM-0412/1";
  return told(at, run);
}

TEST(VentRecord, AVentNobodyCheckedStandsAsTheBoxFileSays) {
  EXPECT_FALSE(vent_on_record({}, {}).plugged);
  EXPECT_FALSE(vent_on_record({}, std::vector{opened(six)}).plugged) << "opening a run cleans nothing";
}

TEST(VentRecord, TheLastCheckCountsUntilTheVentsAreCleaned) {
  const std::vector<VentCheck> checks{{six + 1h, 0.2}, {six + 2h, 0.4}};
  const VentOnRecord before = vent_on_record(checks, std::vector{opened(six)});
  EXPECT_EQ(before.plugged, 0.4);
  EXPECT_FALSE(before.cleaned);
  const VentOnRecord after = vent_on_record(checks, std::vector{opened(six), cleaned(six + 3h)});
  EXPECT_EQ(after.plugged, 0);
  EXPECT_TRUE(after.cleaned);
  EXPECT_EQ(after.at, six + 3h);
}

TEST(VentRecord, TheRateCountsFromTheLastCleaningOfTheSameRun) {
  // 10 % an hour from clean: after two hours, and half an hour after a cleaning.
  const std::vector<VentCheck> checks{{six + 2h, 0.2}, {six + 3h + 30min, 0.05}};
  const std::vector<Entry> entries{opened(six), cleaned(six + 3h)};
  const VentOnRecord record = vent_on_record(checks, entries);
  ASSERT_TRUE(record.rate);
  EXPECT_NEAR(record.rate->per_hour, 0.1, 1e-12);
  EXPECT_THAT(record.rate->origin, HasSubstr("2 vent checks on record"));
}

TEST(VentRecord, OneCheckOrChecksOutsideARunTellNoRate) {
  const std::vector<VentCheck> one{{six + 2h, 0.2}};
  EXPECT_FALSE(vent_on_record(one, std::vector{opened(six)}).rate);
  const std::vector<VentCheck> later{{six + 9h, 0.2}, {six + 10h, 0.3}};
  EXPECT_FALSE(vent_on_record(later, std::vector{opened(six), closed(six + 8h)}).rate);
  const std::vector<VentCheck> at_once{{six + 2min, 0.2}, {six + 3min, 0.2}};
  EXPECT_FALSE(vent_on_record(at_once, std::vector{opened(six)}).rate) << "too soon after clean to tell";
}

}  // namespace
}  // namespace boxfettle
