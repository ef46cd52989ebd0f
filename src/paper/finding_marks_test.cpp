#include "paper/finding_marks.hpp"

#include <gmock/gmock.h>

#include "demo/plain_solids.hpp"

namespace boxfettle {
namespace {

Finding wear_at(const Eigen::Vector3d& where) {
  return Finding{FindingKind::wear, Severity::watch, where};
}

TEST(FindingMarks, AFindingIsMarkedOnTheViewThatSeesItAndOnNoOther) {
  ScanReading reading;
  reading.surface = demo::block({40, 30, 20});
  reading.findings = {wear_at({20, 15, 20}), wear_at({20, 15, 0}), wear_at({20, 15, 10})};
  const CoreView above =
      seen_core(reading.surface, fitted_frame(reading.surface, {0, 0, 1}, {0, 1, 0}, 300, 300));
  const CoreView below =
      seen_core(reading.surface, fitted_frame(reading.surface, {0, 0, -1}, {0, 1, 0}, 300, 300));
  const MarksOfViews marks = marks_on(above, below, reading, 3);
  ASSERT_EQ(marks.first.size(), 1u);
  ASSERT_EQ(marks.second.size(), 1u);
  EXPECT_EQ(marks.first[0].finding, 0u);
  EXPECT_EQ(marks.second[0].finding, 1u);
  EXPECT_NEAR(marks.first[0].at_px.x(), 150, 1e-6);
}

TEST(FindingMarks, AFindingWhosePlaceIsHiddenIsMarkedAtItsNearestCornerThatIsSeen) {
  ScanReading reading;
  reading.surface = demo::block({40, 30, 20});
  Finding wear = wear_at({38, 28, 0});  // underneath
  wear.vertices = {0, 4, 7};
  const CoreView above =
      seen_core(reading.surface, fitted_frame(reading.surface, {0.01, 0.01, 1}, {0, 1, 0}, 300, 300));
  const auto sight = sight_of(wear, reading.surface, above);
  ASSERT_TRUE(sight);
  EXPECT_LT((sight->at_px - above.frame.at_picture(reading.surface.vertices[7]).head<2>()).norm(), 1e-9);
}

TEST(FindingMarks, LabelsKeepTheirOrderAndTheirDistanceAndStayBesideThePicture) {
  const std::vector<double> placed = spread_labels({50, 52, 10, 98, 99}, 12, 8, 100);
  EXPECT_THAT(placed, testing::ElementsAre(testing::DoubleNear(50, 1e-9), testing::DoubleNear(62, 1e-9),
                                           testing::DoubleNear(10, 1e-9), testing::DoubleNear(88, 1e-9),
                                           testing::DoubleNear(100, 1e-9)));
}

}  // namespace
}  // namespace boxfettle
