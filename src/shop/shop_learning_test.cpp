#include "shop/shop_learning.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "shop/told_box.hpp"

namespace boxfettle {
namespace {

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");

std::shared_ptr<const BoxState> shared(const ToldBox& box) {
  return std::make_shared<const BoxState>(box.state);
}

Entry reset(std::int64_t seq, const std::string& fault) {
  Entry entry;
  entry.seq = seq;
  entry.at = monday;
  entry.box = whole_shop;
  entry.body = LearningReset{fault, "the vents are new"};
  return entry;
}

ShopLearning learning_of(const ToldBox& box, const ShopState& shop) {
  const std::vector<std::shared_ptr<const BoxState>> boxes{shared(box)};
  return shop_learning(shipped_faults(), boxes, shop);
}

TEST(ShopLearning, CausesOfAllBoxesTeachTogether) {
  ToldBox one, other;
  one.tell(monday, CauseConfirmed{"vents-plugged", {"not-filled"}, {}, ""});
  other.tell(monday, CauseConfirmed{"vents-plugged", {"soft-spot"}, {"gas-starved"}, ""});
  const std::vector<std::shared_ptr<const BoxState>> boxes{shared(one), shared(other)};
  const ShopLearning told = shop_learning(shipped_faults(), boxes, {});
  const std::size_t vents = *shipped_faults().fault_named("vents-plugged");
  EXPECT_EQ(told.causes.size(), 2u);
  EXPECT_EQ(told.faults[vents].prior.yes, 2);
  EXPECT_GT(told.network.faults[vents].prior, shipped_faults().faults[vents].prior);
}

TEST(ShopLearning, SettingOneFaultBackForgetsItsCausesAloneAndTeachesAnewAfterwards) {
  ToldBox box;
  box.tell(monday, CauseConfirmed{"vents-plugged", {"not-filled"}, {}, ""});
  box.tell(monday, CauseConfirmed{"dowels-worn", {"mismatch"}, {}, ""});
  ShopState shop;
  fold(shop, reset(3, "vents-plugged"));
  const auto faults_taught = [&] {
    std::vector<std::string> ids;
    for (const TaughtCause& cause : learning_of(box, shop).causes)
      ids.push_back(shipped_faults().faults[cause.fault].id);
    return ids;
  };
  EXPECT_THAT(faults_taught(), testing::ElementsAre("dowels-worn"));
  box.tell(monday, NoteWritten{"stands for the reset's own number"});
  box.tell(monday, CauseConfirmed{"vents-plugged", {"soft-spot"}, {}, ""});
  EXPECT_THAT(faults_taught(), testing::ElementsAre("dowels-worn", "vents-plugged"));
}

CauseConfirmed any_cause() {
  CauseConfirmed cause;
  cause.fault = shipped_faults().faults[*rc::gen::inRange<std::size_t>(0, shipped_faults().faults.size())].id;
  for (const Observable& finding : shipped_faults().findings)
    if (const int look = *rc::gen::inRange(0, 6); look < 2)
      (look == 0 ? cause.seen : cause.not_seen).push_back(finding.id);
  return cause;
}

RC_GTEST_PROP(ShopLearning, SettingAllBackReturnsTheShippedChances, ()) {
  ToldBox box;
  for (int i = *rc::gen::inRange(0, 20); i > 0; --i) box.tell(monday, any_cause());
  ShopState shop;
  fold(shop, reset(box.state.last_entry + 1, ""));
  const ShopLearning told = learning_of(box, shop);
  RC_ASSERT(told.causes.empty());
  for (std::size_t i = 0; i < told.network.faults.size(); ++i) {
    const Fault &now = told.network.faults[i], &shipped = shipped_faults().faults[i];
    RC_ASSERT(std::abs(now.prior - shipped.prior) < 1e-15);
    for (std::size_t k = 0; k < now.links.size(); ++k)
      RC_ASSERT(std::abs(now.links[k].strength - shipped.links[k].strength) < 1e-15);
  }
}

RC_GTEST_PROP(ShopLearning, EveryChanceStaysBetweenNeverAndAlways, ()) {
  ToldBox box;
  for (int i = *rc::gen::inRange(0, 60); i > 0; --i) box.tell(monday, any_cause());
  for (const Fault& fault : learning_of(box, {}).network.faults) {
    RC_ASSERT(fault.prior > 0 && fault.prior < 1);
    for (const FaultLink& link : fault.links) RC_ASSERT(link.strength > 0 && link.strength < 1);
  }
}

}  // namespace
}  // namespace boxfettle
