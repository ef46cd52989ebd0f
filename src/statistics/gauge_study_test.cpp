#include "statistics/gauge_study.hpp"

#include <gmock/gmock.h>

#include <cmath>

#include "input/input_error.hpp"
#include "statistics/invented_gauge.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(GaugeStudy, KeepsAPlainInteractionAndPoolsOneThatChanceExplains) {
  EXPECT_FALSE(gauge_study(study_of({1, 0.3, 1.0, 0.2}, 1)).pooled);
  const GaugeStudy none = gauge_study(study_of({1, 0.3, 0, 0.2}, 3));
  EXPECT_TRUE(none.pooled);
  EXPECT_EQ(none.interaction, 0);
  EXPECT_NEAR(none.repeatability.value,
              (none.anova.repeat.squares + none.anova.interaction.squares) /
                  (none.anova.repeat.degrees + none.anova.interaction.degrees),
              1e-12);
}

TEST(GaugeStudy, SumsOfSquaresAddUpToTheWhole) {
  const auto readings = study_of({}, 7);
  const CrossedAnova anova = crossed_anova(readings);
  double mean = 0, squares = 0;
  for (const GaugeReading& one : readings) mean += one.value / static_cast<double>(readings.size());
  for (const GaugeReading& one : readings) squares += std::pow(one.value - mean, 2);
  EXPECT_NEAR(anova.part.squares + anova.person.squares + anova.interaction.squares + anova.repeat.squares,
              squares, 1e-9);
}

TEST(GaugeStudy, OnePersonAloneTellsRepeatabilityOnly) {
  const GaugeStudy study = gauge_study(study_of({}, 8, 10, 1, 3), {.tolerance = 6.0});
  EXPECT_FALSE(study.interaction_p);
  EXPECT_EQ(study.reproducibility.value, 0);
  EXPECT_GE(study.ndc, 1);
  EXPECT_NEAR(study.tolerance_percent->value, 100 * std::sqrt(study.gauge.value), 1e-9);
}

TEST(GaugeStudy, UnequalOrLifelessTablesAreRefusedWithTheReason) {
  const auto refusal = [](const std::vector<GaugeReading>& readings, const std::string& why) {
    EXPECT_THAT([&] { gauge_study(readings); }, ThrowsMessage<InputError>(HasSubstr(why))) << why;
  };
  auto missing = study_of({}, 9);
  missing.pop_back();
  refusal(missing, "part 9, person 3: has 2 readings");
  refusal({}, "fewer than two parts");
  refusal({{"1", "A", 1}, {"1", "A", 2}}, "fewer than two parts");
  refusal({{"1", "A", 1}, {"2", "A", 2}}, "nobody measured a part twice");
  refusal({{"1", "A", 1.1}, {"1", "A", 1.1}, {"2", "A", 2}, {"2", "A", 2}}, "every repeat shows the same");
}

}  // namespace
}  // namespace boxfettle
