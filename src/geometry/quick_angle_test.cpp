#include "geometry/quick_angle.hpp"

#include <gtest/gtest.h>

namespace boxfettle {
namespace {

TEST(QuickAngle, AgreesWithTheLibraryAllTheWayRound) {
  for (int i = -18000; i <= 18000; ++i) {
    const double angle = i * std::numbers::pi / 18000;
    const auto y = static_cast<float>(3.7 * std::sin(angle)), x = static_cast<float>(3.7 * std::cos(angle));
    ASSERT_NEAR(quick_angle(y, x), std::atan2(y, x), 2e-5) << "at " << angle << " rad";
  }
  EXPECT_EQ(quick_angle(0, 0), 0);
}

}  // namespace
}  // namespace boxfettle
