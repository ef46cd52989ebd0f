#include "service/scan_order.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace boxfettle {
namespace {

RC_GTEST_PROP(ScanOrder, WhatWasSaidOfAScanIsKeptWithItsJob, ()) {
  ScanOrder order;
  if (*rc::gen::arbitrary<bool>()) order.unit = static_cast<LengthUnit>(*rc::gen::inRange(0, 4));
  order.of = static_cast<ScanSubject>(*rc::gen::inRange(0, 3));
  if (*rc::gen::arbitrary<bool>()) order.design_body = *rc::gen::inRange(1u, 1'000'000u);
  RC_ASSERT(scan_order(written(order)) == order);
}

TEST(ScanOrder, AScanQueuedWithAUnitAloneIsOfACore) {
  EXPECT_EQ(written({LengthUnit::mm, ScanSubject::core, {}}), "mm");
  EXPECT_EQ(scan_order("auto"), ScanOrder{});
}

TEST(ScanOrder, OtherWordsAreNone) {
  for (const char* text : {"", "furlong", "mm lid", "mm core 0", "mm core -1", "mm core 2x", "mm core 2 3"})
    EXPECT_EQ(scan_order(text), std::nullopt) << text;
}

}  // namespace
}  // namespace boxfettle
