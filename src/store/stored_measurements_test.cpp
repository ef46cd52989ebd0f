#include "store/stored_measurements.hpp"

#include <gmock/gmock.h>

#include "input/input_error.hpp"
#include "store/scratch_dir.hpp"
#include "store/store.hpp"

namespace boxfettle {
namespace {

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");
const StoreSettings quick{PassphraseCost{1, 8u << 10}};

Measurement weighed(const std::string& request, double grams) {
  return {.request = request,
          .box = "TM-0412",
          .characteristic = "core weight",
          .unit = "g",
          .at = monday,
          .who = "Asha",
          .value = grams,
          .run = ""};
}

class KeptWeights : public testing::Test {
 protected:
  std::int64_t number_of(const Measurement& one) {
    const auto added = store_.measurements.add(one);
    if (const auto* refusal = std::get_if<Refusal>(&added)) {
      ADD_FAILURE() << refusal->what;
      return 0;
    }
    return std::get<NumberedMeasurement>(added).number;
  }

  ScratchDir dir_;
  Store store_{dir_.path(), quick};
};

TEST_F(KeptWeights, ValuesAreNumberedInTheOrderTheyCame) {
  EXPECT_EQ(number_of(weighed("weighed-1", 412.3)), 1);
  EXPECT_EQ(number_of(weighed("weighed-2", 411.8)), 2);
  Measurement diameter = weighed("measured-1", 63.02);
  diameter.characteristic = "print diameter";
  diameter.unit = "mm";
  diameter.at = monday + std::chrono::minutes(5);
  EXPECT_EQ(number_of(diameter), 1);
  EXPECT_EQ(number_of(weighed("weighed-3", 412.9)), 3);

  const auto newest = store_.measurements.newest("TM-0412", "core weight", 2);
  ASSERT_EQ(newest.size(), 2u);
  EXPECT_EQ(newest[0].number, 2);
  EXPECT_EQ(newest[1].measurement.value, 412.9);
  EXPECT_EQ(newest[1].measurement.who, "Asha");
  EXPECT_EQ(store_.measurements.from("TM-0412", "core weight", 2, 1).at(0).measurement.value, 411.8);

  const auto measured = store_.measurements.of_box("TM-0412");
  ASSERT_EQ(measured.size(), 2u);
  EXPECT_EQ(measured[0].name, "print diameter") << "the one measured last stands first";
  EXPECT_EQ(measured[1].values, 3);
  EXPECT_EQ(store_.measurements.characteristic("TM-0412", "core weight")->values, 3);
  EXPECT_FALSE(store_.measurements.characteristic("TM-0412", "scratch hardness"));
  EXPECT_TRUE(store_.measurements.of_box("TM-9999").empty());
}

TEST_F(KeptWeights, AValueSentAgainAddsNothing) {
  const auto kept = [&](double grams) { return store_.measurements.add(weighed("weighed-1", grams)); };
  EXPECT_EQ(std::get<NumberedMeasurement>(kept(412.3)).number, 1);
  EXPECT_EQ(std::get<NumberedMeasurement>(kept(412.3)).number, 1);
  EXPECT_TRUE(std::holds_alternative<Refusal>(kept(412.4))) << "the same request with another value";
  EXPECT_EQ(store_.measurements.of_box("TM-0412").at(0).values, 1);
}

TEST_F(KeptWeights, GramsAndKilogramsAreNotMixed) {
  number_of(weighed("weighed-1", 412.3));
  Measurement heavy = weighed("weighed-2", 0.412);
  heavy.unit = "kg";
  const auto refused = store_.measurements.add(heavy);
  ASSERT_TRUE(std::holds_alternative<Refusal>(refused));
  EXPECT_THAT(std::get<Refusal>(refused).what, testing::HasSubstr("measured in g"));
}

TEST_F(KeptWeights, AListIsKeptWholeOrNotAtAll) {
  std::vector<Measurement> list{weighed("weighed-1", 412.3), weighed("weighed-2", 411.0)};
  list.push_back(weighed("weighed-3", 1e300));
  EXPECT_THROW(store_.measurements.add(list), InputError);
  EXPECT_TRUE(store_.measurements.of_box("TM-0412").empty());
  list.pop_back();
  store_.measurements.add(list);
  EXPECT_EQ(store_.measurements.of_box("TM-0412").at(0).values, 2);
}

TEST_F(KeptWeights, ARecordOfTheProgramBeforeGetsItsTableAndKeepsTheRest) {
  const ScratchDir older;
  {
    Store store(older.path(), quick);
    store.shots.add("TM-0412", "Station 1", monday, 12);
  }
  {
    Database database(older.path() / "boxfettle.sqlite");
    Access access = database.access();
    access.run("DROP TABLE measurements");
    access.run("PRAGMA user_version = 1");
  }
  for (int start = 1; start <= 2; ++start) {
    Store store(older.path(), quick);
    EXPECT_EQ(store.shots.total("TM-0412"), 12);
    const auto added = store.measurements.add(weighed("weighed-" + std::to_string(start), 412.3));
    EXPECT_EQ(std::get<NumberedMeasurement>(added).number, start);
  }
}

}  // namespace
}  // namespace boxfettle
