#include "statistics/weibull_life.hpp"

#include <gmock/gmock.h>
#include <rapidcheck.h>

#include <algorithm>
#include <cmath>

#include "input/input_error.hpp"
#include "statistics/random_numbers.hpp"
#include "statistics/renewal_age.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// Bushes of known life, watched up to `until`; checked every `every` shots when that is above 0.
std::vector<LifeRecord> bushes(std::size_t count, double shape, double scale, double until, double every,
                               std::uint64_t seed) {
  RandomNumbers random(seed);
  std::vector<LifeRecord> records;
  for (std::size_t i = 0; i < count; ++i) {
    const double life = scale * std::pow(-std::log(random.uniform()), 1 / shape);
    if (life > until)
      records.push_back({until, std::nullopt});
    else if (every > 0)
      records.push_back({every * std::floor(life / every), every * std::floor(life / every) + every});
    else
      records.push_back({life, life});
  }
  return records;
}

TEST(WeibullLife, ComesNearTheTruthWithManyBushesHoweverTheyWereWatched) {
  for (const double every : {0.0, 8000.0}) {
    const auto life = weibull_life(bushes(20000, 2.2, 40000, 45000, every, 1));
    ASSERT_TRUE(life);
    EXPECT_NEAR(life->shape, 2.2, 0.06);
    EXPECT_NEAR(life->scale, 40000, 700);
    EXPECT_LT(life->iterations, 20);
  }
}

TEST(WeibullLife, CountedInHundredsOfShotsIsTheSameLife) {
  rc::check([](std::uint64_t seed) {
    std::vector<LifeRecord> records = bushes(12, 1.5, 30000, 35000, seed % 2 == 0 ? 0 : 10000, seed);
    const auto life = weibull_life(records);
    for (LifeRecord& one : records) {
      one.low /= 100;
      if (one.high) *one.high /= 100;
    }
    const auto hundreds = weibull_life(records);
    RC_ASSERT(life.has_value() == hundreds.has_value());
    if (!life) return;
    RC_ASSERT(std::abs(hundreds->shape / life->shape - 1) < 1e-6);
    RC_ASSERT(std::abs(hundreds->scale * 100 / life->scale - 1) < 1e-6);
  });
}

TEST(WeibullLife, IsAtTheTopOfItsLikelihood) {
  // With the shape known, times to its power are exponential: scale^shape = sum t^shape / failures.
  const std::vector<LifeRecord> records = bushes(30, 1.8, 30000, 32000, 0, 4);
  const auto life = weibull_life(records);
  double sum = 0, failures = 0;
  for (const LifeRecord& one : records) {
    sum += std::pow(one.low, life->shape);
    failures += one.failed();
  }
  EXPECT_NEAR(std::pow(sum / failures, 1 / life->shape), life->scale, 1e-6 * life->scale);
}

TEST(WeibullLife, ABushSeenSoundLongerMakesTheLifeLonger) {
  std::vector<LifeRecord> records = bushes(15, 2, 30000, 35000, 0, 6);
  const auto before = weibull_life(records);
  records.push_back({60000, std::nullopt});
  EXPECT_GT(weibull_life(records)->scale, before->scale);
}

TEST(WeibullLife, TellsNothingFromBushesThatAllStillHold) {
  const std::vector<LifeRecord> sound{{1000, {}}, {2000, {}}, {5000, {}}};
  EXPECT_FALSE(weibull_life(sound));
  EXPECT_FALSE(weibull_life({}));
  EXPECT_FALSE(weibull_life(std::vector<LifeRecord>{{5000, 5000}, {5000, 5000}}))
      << "any steepness fits better";
  EXPECT_FALSE(weibull_life(std::vector<LifeRecord>{{5000, 5000}})) << "one failure and nothing beyond it";
  // At 63 % confidence and shape 1 the bound on the mean is the total time itself.
  EXPECT_NEAR(bound_without_failures(sound, 1, -std::expm1(-1.0), -std::expm1(-1.0)), 8000, 1e-6);
}

TEST(WeibullLife, RecordsThatAreNoneAreRefusedWithTheirPlace) {
  const auto refusal = [](const std::vector<LifeRecord>& records, const std::string& why) {
    EXPECT_THAT([&] { weibull_life(records); }, ThrowsMessage<InputError>(HasSubstr(why))) << why;
  };
  refusal({{10, 10}, {0, {}}}, "record 2: a life is not above zero");
  refusal({{-5, 10}}, "record 1: a life is not above zero");
  refusal({{10, 5}}, "before it was last seen sound");
}

TEST(WeibullLife, GroupsOfOneLifeAreSeldomCalledDifferentAndGroupsOfTwoLivesAre) {
  int called = 0;
  constexpr int runs = 400;
  for (std::uint64_t run = 0; run < runs; ++run) {
    const auto comparison = compare_groups(std::vector{bushes(30, 2, 30000, 40000, 0, 2 * run + 1000),
                                                       bushes(30, 2, 30000, 40000, 0, 2 * run + 1001)});
    called += *comparison.p_value < 0.1;
  }
  EXPECT_NEAR(called / static_cast<double>(runs), 0.1, 0.065);  // four standard errors, and small samples
  EXPECT_LT(*compare_groups(std::vector{bushes(30, 2, 30000, 40000, 0, 1), bushes(30, 2, 15000, 40000, 0, 2)})
                 .p_value,
            0.001);
  EXPECT_FALSE(
      compare_groups(std::vector<std::vector<LifeRecord>>{{{10, {}}}, {{10, 10}, {20, 20}}}).p_value);
}

TEST(RenewalAge, IsCheaperThanAnyAgeBesideIt) {
  WeibullLife life;
  life.shape = 2.5;
  life.scale = 30000;
  const RenewalAge best = renewal_age(life, {100, 900});
  ASSERT_TRUE(best.age);
  // The long-run cost of renewing at another age, drawn: it must not fall below.
  RandomNumbers random(3);
  for (const double factor : {0.6, 1.0, 1.5}) {
    double cost = 0, time = 0;
    for (int i = 0; i < 200000; ++i) {
      const double age = factor * *best.age, fails_at = life.quantile(random.uniform());
      cost += fails_at < age ? 900 : 100;
      time += std::min(fails_at, age);
    }
    if (factor == 1.0)
      EXPECT_NEAR(cost / time, best.cost_per_time, 0.01 * best.cost_per_time);
    else
      EXPECT_GT(cost / time, best.cost_per_time);
  }
  EXPECT_GT(best.saving(), 0.2);
}

TEST(RenewalAge, IsNoneWhereAPartDoesNotGetWorseOrFailingIsNotDearer) {
  WeibullLife life;
  life.scale = 30000;
  for (const double shape : {0.7, 1.0}) {
    life.shape = shape;
    EXPECT_FALSE(renewal_age(life, {100, 5000}).age);
    EXPECT_EQ(renewal_age(life, {100, 5000}).saving(), 0);
  }
  life.shape = 3;
  EXPECT_FALSE(renewal_age(life, {100, 100}).age);
  life.shape = 1.05;
  EXPECT_FALSE(renewal_age(life, {100, 150}).age) << "only at an age that hardly any part reaches";
}

}  // namespace
}  // namespace boxfettle
