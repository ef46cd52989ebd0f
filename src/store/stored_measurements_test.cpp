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
          .arrived = monday,
          .who = "Asha",
          .value = grams,
          .run = ""};
}

Strike struck(const std::string& request, std::int64_t number) {
  return {.request = request,
          .box = "TM-0412",
          .characteristic = "core weight",
          .number = number,
          .at = monday + std::chrono::minutes(1),
          .person = {"Asha", Role::operator_},
          .why = "a digit was lost"};
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
  diameter.at = diameter.arrived = monday + std::chrono::minutes(5);
  EXPECT_EQ(number_of(diameter), 1);
  EXPECT_EQ(number_of(weighed("weighed-3", 412.9)), 3);

  const auto newest = store_.measurements.newest("TM-0412", "core weight", 2);
  ASSERT_EQ(newest.size(), 2u);
  EXPECT_EQ(newest[0].number, 2);
  EXPECT_EQ(newest[1].measurement.value, 412.9);
  EXPECT_EQ(newest[1].measurement.who, "Asha");
  EXPECT_EQ(store_.measurements.first_standing("TM-0412", "core weight", 2, 1).at(0).measurement.value, 411.8);

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
    access.run("DROP TABLE struck_measurements");
    access.run("PRAGMA user_version = 1");
  }
  for (int start = 1; start <= 2; ++start) {
    Store store(older.path(), quick);
    EXPECT_EQ(store.shots.total("TM-0412"), 12);
    const auto added = store.measurements.add(weighed("weighed-" + std::to_string(start), 412.3));
    EXPECT_EQ(std::get<NumberedMeasurement>(added).number, start);
  }
}

// Version 2 had neither times of arrival nor struck out values.
TEST_F(KeptWeights, ARecordFromBeforeValuesCouldBeStruckOutKeepsItsValues) {
  const ScratchDir older;
  {
    Store store(older.path(), quick);
    store.measurements.add(weighed("weighed-1", 412.3));
  }
  {
    Database database(older.path() / "boxfettle.sqlite");
    Access access = database.access();
    access.run("DROP TABLE struck_measurements");
    access.run("DROP INDEX measurements_in_time");
    access.run("ALTER TABLE measurements DROP COLUMN arrived_ms");
    access.run("PRAGMA user_version = 2");
  }
  Store store(older.path(), quick);
  const auto kept = store.measurements.newest("TM-0412", "core weight", 9);
  ASSERT_EQ(kept.size(), 1u);
  EXPECT_EQ(kept[0].measurement.value, 412.3);
  EXPECT_EQ(kept[0].measurement.arrived, monday) << "told at once, as far as is known";
  EXPECT_TRUE(std::holds_alternative<NumberedMeasurement>(store.measurements.strike(struck("strike-no-1", 1))));
}

TEST_F(KeptWeights, AMistypedWeightIsStruckOutAndStaysInTheRecord) {
  for (int i = 1; i <= 4; ++i) number_of(weighed("weighed-" + std::to_string(i), i == 2 ? 41.23 : 412.3));
  const auto done = store_.measurements.strike(struck("strike-no-1", 2));
  ASSERT_TRUE(std::holds_alternative<NumberedMeasurement>(done));
  EXPECT_EQ(std::get<NumberedMeasurement>(done).struck->why, "a digit was lost");

  const auto all = store_.measurements.newest("TM-0412", "core weight", 9);
  ASSERT_EQ(all.size(), 4u);
  EXPECT_EQ(all[1].measurement.value, 41.23);
  ASSERT_TRUE(all[1].struck);
  EXPECT_EQ(all[1].struck->who, "Asha");
  EXPECT_FALSE(all[0].struck);
  for (const auto& standing : {store_.measurements.first_standing("TM-0412", "core weight", 1, 9),
                               store_.measurements.newest_standing("TM-0412", "core weight", 1, 9)}) {
    ASSERT_EQ(standing.size(), 3u);
    EXPECT_EQ(standing[1].number, 3) << "numbers stay";
  }
  EXPECT_EQ(store_.measurements.first_standing("TM-0412", "core weight", 2, 9).at(0).number, 3);
  EXPECT_EQ(store_.measurements.of_box("TM-0412").at(0).values, 4);
  EXPECT_EQ(store_.measurements.of_box("TM-0412").at(0).struck, 1);
  EXPECT_EQ(store_.measurements.characteristic("TM-0412", "core weight")->struck, 1);
}

TEST_F(KeptWeights, AValueIsStruckOutOnceByWhoEnteredItOrWhoAnswersForFigures) {
  for (int i = 1; i <= 3; ++i) number_of(weighed("weighed-" + std::to_string(i), 412.3));
  const auto what = [&](const Strike& strike) {
    const auto done = store_.measurements.strike(strike);
    const auto* refusal = std::get_if<Refusal>(&done);
    return refusal ? refusal->what : "";
  };
  Strike by_another = struck("strike-no-1", 1);
  by_another.person = {"Birk", Role::operator_};
  EXPECT_THAT(what(by_another), testing::HasSubstr("entered by Asha"));
  by_another.person.role = Role::quality;
  EXPECT_EQ(what(by_another), "");
  EXPECT_EQ(what(by_another), "") << "sent again";
  EXPECT_THAT(what(struck("strike-no-2", 1)), testing::HasSubstr("struck out before, by Birk"));
  EXPECT_THAT(what(struck("strike-no-3", 9)), testing::HasSubstr("never measured"));
  Strike without_reason = struck("strike-no-4", 2);
  without_reason.why.clear();
  EXPECT_THROW(store_.measurements.strike(without_reason), InputError);
  EXPECT_EQ(store_.measurements.of_box("TM-0412").at(0).struck, 1);
}

// Weighed while the tablet had no network, it arrives after others that were weighed later.
TEST_F(KeptWeights, StandInTheOrderTheyWereMeasuredWhateverTheOrderTheyArrived) {
  using std::chrono::minutes;
  for (const int minute : {0, 30, 10, 20}) {
    Measurement one = weighed("weighed-at-" + std::to_string(minute), 400 + minute);
    one.at = monday + minutes(minute);
    one.arrived = monday + minutes(40);
    number_of(one);
  }
  std::vector<double> values;
  for (const auto& one : store_.measurements.newest("TM-0412", "core weight", 9))
    values.push_back(one.measurement.value);
  EXPECT_THAT(values, testing::ElementsAre(400, 410, 420, 430));
  const auto since_no_4 = store_.measurements.first_standing("TM-0412", "core weight", 4, 9);
  ASSERT_EQ(since_no_4.size(), 2u) << "those measured before no. 4 arrived are not since";
  EXPECT_EQ(since_no_4[1].number, 2);
  EXPECT_EQ(since_no_4[1].measurement.arrived, monday + minutes(40));

  Measurement ahead = weighed("weighed-ahead", 412);
  ahead.at = ahead.arrived + minutes(1);
  EXPECT_THROW(store_.measurements.add(ahead), InputError);
}

}  // namespace
}  // namespace boxfettle
