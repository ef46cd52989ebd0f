#include "statistics/run_rules.hpp"

#include <gmock/gmock.h>

namespace boxfettle {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

// Which rules the last point of a pattern completes, when all are watched for.
std::vector<RunRule> completed(const std::vector<double>& sigmas) {
  RunWatch watch({{all_run_rules.begin(), all_run_rules.end()}, 9});
  std::vector<RunRule> last;
  for (std::size_t i = 0; i < sigmas.size(); ++i) {
    last = watch.add(sigmas[i]);
    if (i + 1 < sigmas.size()) {
      EXPECT_THAT(last, IsEmpty()) << "before the pattern was whole, at " << i;
    }
  }
  return last;
}

TEST(RunRules, EachSeesItsOwnPatternWithItsLastPointAndNotBefore) {
  EXPECT_THAT(completed({0.3, -2.1, -0.2, -2.4}), ElementsAre(RunRule::far_pair));
  EXPECT_THAT(completed({1.2, 1.6, -0.1, 1.3, 1.4}), ElementsAre(RunRule::off_centre));
  EXPECT_THAT(completed({-.1, -.5, -.3, -.6, -.2, -.9, -.1, -.4, -.2}), ElementsAre(RunRule::one_side));
  EXPECT_THAT(completed({-1.2, -0.8, -0.1, 0.2, 0.9, 1.5}), ElementsAre(RunRule::drift));
  EXPECT_THAT(completed({1.2, -.3, .2, -.4, .6, .1, .4, -.2, .3, -.5, .1, -.3, 1.5, -.2}),
              ElementsAre(RunRule::see_saw));
  EXPECT_THAT(completed({.1, .2, -.4, -.6, .3, .5, -.2, -.3, .8, .9, -.9, -.1, .2, .7, .5}),
              ElementsAre(RunRule::too_quiet));
  EXPECT_THAT(completed({1.2, 1.3, -1.5, -1.1, 1.4, 1.5, -1.2, -1.7}), ElementsAre(RunRule::two_streams));
}

TEST(RunRules, ASidewaysGlanceIsNoPattern) {
  EXPECT_THAT(completed({2.5, 0.1, 0.2, 2.5}), IsEmpty()) << "two of four";
  EXPECT_THAT(completed({2.5, -2.5}), IsEmpty()) << "on different sides";
  EXPECT_THAT(completed({-1.0, -0.5, -0.5, -0.1, 0.2, 0.4}), IsEmpty()) << "equal values do not rise";
  EXPECT_THAT(completed({0, 0, 0, 0, 0, 0, 0, 0, 0}), IsEmpty()) << "on the centre is on no side";
}

TEST(RunRules, EveryNameIsFoundAgainAndExplained) {
  for (const RunRule rule : all_run_rules) {
    EXPECT_EQ(run_rule_named(name(rule)), rule);
    EXPECT_FALSE(definition(rule, {}).empty());
    EXPECT_FALSE(meaning(rule).empty());
  }
  EXPECT_FALSE(run_rule_named("nothing"));
  EXPECT_EQ(definition(RunRule::one_side, {{}, 8}), "8 points in a row on the same side of the centre");
}

}  // namespace
}  // namespace boxfettle
