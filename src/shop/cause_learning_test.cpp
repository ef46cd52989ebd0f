#include "shop/cause_learning.hpp"

#include <gmock/gmock.h>

#include <algorithm>

namespace boxfettle {
namespace {

const FaultNetwork small{1,
                         "invented",
                         {{"fin", "fin", 0.2, std::nullopt}},
                         {{"clamps", "Clamps", 0.1, {{0, 0.5}}}, {"face", "Face", 0.1, {{0, 0.5}}}}};

TEST(CauseLearning, NothingConfirmedLeavesWhatWasShipped) {
  const FaultNetwork now = with_learnt(small, learnt(small, {}));
  EXPECT_DOUBLE_EQ(now.faults[0].prior, 0.1);
  EXPECT_DOUBLE_EQ(now.faults[0].links[0].strength, 0.5);
}

// Beta(5, 5): seen gives 0.5 / (1 - 0.5 * 0.8) = 5/6 of a count, so (5 + 5/6) / 11; not seen gives 5 / 11.
TEST(CauseLearning, AFinSharedWithTheLeakCountsInPart) {
  const std::vector<TaughtCause> seen{{0, {0}, {}}}, not_seen{{0, {}, {0}}};
  EXPECT_NEAR(learnt(small, seen)[0].links[0].now(), (5 + 5.0 / 6) / 11, 1e-15);
  EXPECT_NEAR(learnt(small, not_seen)[0].links[0].now(), 5.0 / 11, 1e-15);
  EXPECT_NEAR(learnt(small, seen)[0].prior.now(), 2.0 / 11, 1e-15);
  EXPECT_NEAR(learnt(small, seen)[1].prior.now(), 1.0 / 11, 1e-15);
}

TEST(CauseLearning, TheOrderOfCausesDoesNotMatter) {
  std::vector<TaughtCause> causes{{0, {0}, {}}, {1, {}, {0}}, {0, {}, {0}}, {0, {}, {}}};
  const FaultNetwork forth = with_learnt(small, learnt(small, causes));
  std::ranges::reverse(causes);
  const FaultNetwork back = with_learnt(small, learnt(small, causes));
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_NEAR(forth.faults[i].prior, back.faults[i].prior, 1e-15);
    EXPECT_NEAR(forth.faults[i].links[0].strength, back.faults[i].links[0].strength, 1e-15);
  }
}

}  // namespace
}  // namespace boxfettle
