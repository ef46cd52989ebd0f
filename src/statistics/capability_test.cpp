#include "statistics/capability.hpp"

#include <gmock/gmock.h>

#include <cmath>

#include "input/input_error.hpp"
#include "statistics/distributions.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

std::vector<std::vector<double>> cores(std::size_t subgroups, std::size_t size, std::uint64_t seed) {
  RandomNumbers random(seed);
  std::vector<std::vector<double>> all(subgroups);
  for (auto& one : all)
    for (std::size_t i = 0; i < size; ++i) one.push_back(50 + random.normal());
  return all;
}

TEST(Capability, IntervalsHoldTheTruthAsOftenAsTheySay) {
  // Truth: limits 46 and 55 about 50 with sigma 1: Cp 1.5, Cpk 4/3. 600 runs know a share to 0.9 %; a
  // coverage of 95 % below 91 % is no chance.
  int cp = 0, cpk = 0, pp = 0, ppk = 0, alone = 0;
  constexpr int runs = 600;
  const auto holds = [](const Estimate& told, double truth) {
    return told.low <= truth && truth <= told.high;
  };
  for (int run = 0; run < runs; ++run) {
    const Capability told = capability(cores(12, 5, 100 + static_cast<std::uint64_t>(run)), {46, 55});
    cp += holds(*told.cp, 1.5);
    cpk += holds(told.cpk, 4.0 / 3);
    pp += holds(*told.pp, 1.5);
    ppk += holds(told.ppk, 4.0 / 3);
    alone += holds(*capability(cores(60, 1, 900 + static_cast<std::uint64_t>(run)), {46, 55}).cp, 1.5);
  }
  for (const int held : {cp, cpk, pp, ppk, alone}) {
    EXPECT_GT(held, 0.91 * runs);
    EXPECT_LT(held, 0.985 * runs);
  }
}

TEST(Capability, OneLimitGivesTheOneSidedIndexAndNoCp) {
  const auto run = cores(20, 5, 3);
  const Capability upper = capability(run, {std::nullopt, 54}), both = capability(run, {46.5, 54});
  EXPECT_FALSE(upper.cp);
  EXPECT_FALSE(upper.pp);
  EXPECT_NEAR(upper.cpk.value, (54 - upper.mean) / (3 * upper.sd_within), 1e-12);
  EXPECT_NEAR(both.cpk.value, std::min(upper.cpk.value, (both.mean - 46.5) / (3 * both.sd_within)), 1e-12);
}

TEST(Capability, AWanderingProcessIsLessCapableInAllThanWithinItsSubgroups) {
  auto run = cores(20, 5, 4);
  for (std::size_t i = 0; i < run.size(); ++i)
    for (double& value : run[i]) value += 0.3 * static_cast<double>(i);
  const Capability told = capability(run, {40, 65});
  EXPECT_GT(told.cp->value, 1.5 * told.pp->value);
  EXPECT_EQ(told.outside, 0u);
  EXPECT_NEAR(told.outside_fraction.high, 1 - std::pow(0.025, 0.01), 1e-12);
}

TEST(Capability, PercentilesAgreeWithTheNormalWayOnNormalCoresAndNotOnLeaningOnes) {
  const Capability normal = capability(cores(4000, 1, 5), {46, 55});
  ASSERT_TRUE(normal.percentiles);
  EXPECT_LT(normal.percentiles->ppk.low, normal.ppk.value);
  EXPECT_GT(normal.percentiles->ppk.high, normal.ppk.value);
  EXPECT_FALSE(capability(cores(2000, 1, 5), {46, 55}).percentiles)
      << "their 0.135 % may lie beyond the outermost";
  RandomNumbers random(6);
  std::vector<std::vector<double>> leaning;
  for (int i = 0; i < 4000; ++i) leaning.push_back({-std::log(random.uniform())});
  // An exponential to 8: its 99.865 % stands at 6.6, its median at 0.69.
  const Capability told = capability(leaning, {std::nullopt, 8.0});
  EXPECT_NEAR(told.percentiles->ppk.value, (8 - std::log(2)) / (-std::log(0.00135) - std::log(2)), 0.15);
  EXPECT_GT(told.ppk.value, 2);
  EXPECT_LT(told.normality->p_value, 1e-6);
}

TEST(Capability, DataThatTellNoneAreRefusedWithTheReason) {
  const auto refusal = [](const std::vector<std::vector<double>>& run, const ToleranceBand& band,
                          const std::string& why) {
    EXPECT_THAT([&] { capability(run, band); }, ThrowsMessage<InputError>(HasSubstr(why))) << why;
  };
  refusal({{1.0}, {2.0}}, {5, 5}, "not below");
  refusal({{1.0}}, {0, 5}, "fewer than two");
  refusal({}, {0, 5}, "fewer than two");
  refusal({{0.1}, {0.1}, {0.1}}, {0, 5}, "all values are the same");
  refusal({{1, 1}, {2, 2}}, {0, 5}, "of each subgroup are the same");
}

}  // namespace
}  // namespace boxfettle
