#include "shop/utc_time.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

TEST(UtcTime, AMomentOfTheShiftReadsBackAsItWasWritten) {
  // `date -u -d @1795601807 +%FT%TZ` (GNU coreutils) says 2026-11-25T10:16:47Z.
  const UtcTime shift_start{1'795'601'807'123};
  EXPECT_EQ(shift_start.iso(), "2026-11-25T10:16:47.123Z");
  EXPECT_EQ(UtcTime::parse("2026-11-25T10:16:47.123Z"), shift_start);
  EXPECT_EQ(UtcTime::parse("2026-11-25T10:16:47Z") + std::chrono::milliseconds{123}, shift_start);
}

TEST(UtcTime, EveryMomentUpToTheYear9999ReadsBackAndTextOrderIsTimeOrder) {
  const auto moment = [] { return UtcTime{*rc::gen::inRange<std::int64_t>(0, 253'402'300'800'000)}; };
  EXPECT_TRUE(rc::check([&] {
    const UtcTime a = moment(), b = moment();
    RC_ASSERT(UtcTime::parse(a.iso()) == a);
    RC_ASSERT((a < b) == (a.iso() < b.iso()));
  }));
}

TEST(UtcTime, WhatIsNoMomentIsRefused) {
  for (const char* text :
       {"", "yesterday", "2026-02-30T10:00:00Z", "2026-11-25T24:00:00Z", "2026-11-25 10:16:47Z",
        "2026-11-25T10:16:47", "2026-11-25T10:16:47.Z", "2026-11-25T10:16:47.1234Z", "1969-12-31T23:59:59Z",
        "2026-1a-25T10:16:47Z", "2026-11-25T10:16:47+01:00Z"})
    EXPECT_THROW(UtcTime::parse(text), InputError) << text;
}

}  // namespace
}  // namespace boxfettle
