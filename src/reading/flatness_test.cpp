#include "reading/flatness.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>

namespace boxfettle {
namespace {

using Eigen::Vector2d;

template <typename Height>
std::vector<FacePoint> face(const Height& height) {
  std::vector<FacePoint> points;
  for (int x = -10; x <= 10; ++x)
    for (int y = -8; y <= 8; ++y) points.push_back({Vector2d(10 * x, 10 * y), height(10.0 * x, 10.0 * y)});
  return points;
}

// By duality a slab is the narrowest when four points that touch it need as much room themselves.
double room_of_touching(const MinimumZone& zone, const std::vector<FacePoint>& points) {
  double room = 0;
  for (std::size_t i = 0; i < 4; ++i) room += zone.share[i] * points[zone.touching[i]].height_mm;
  return room * zone.slant;
}

std::vector<FacePoint> any_face() {
  const auto count = static_cast<std::size_t>(*rc::gen::inRange(4, 60));
  std::vector<FacePoint> points;
  for (std::size_t i = 0; i < count; ++i) {
    const auto number = [](int most) { return 0.01 * *rc::gen::inRange(-100 * most, 100 * most + 1); };
    points.push_back({Vector2d(number(200), number(150)), 0.001 * number(100)});
  }
  return points;
}

TEST(Flatness, OfATiltedPlaneIsNothing) {
  const std::vector<FacePoint> plane = face([](double x, double y) { return 3 + 0.002 * x - 0.001 * y; });
  EXPECT_NEAR(peak_to_valley_mm(plane, least_squares_plane(plane)), 0, 1e-9);
  EXPECT_NEAR(minimum_zone(plane).width_mm, 0, 1e-8);
}

TEST(Flatness, OfASaddleIsTheHeightBetweenItsCorners) {
  // z = c x y over |x| <= 100, |y| <= 80: two corners at +8000 c touch one plane, two at -8000 c the other.
  const std::vector<FacePoint> saddle = face([](double x, double y) { return 1e-5 * x * y + 0.003 * x; });
  const double square_to_face = 1 / std::sqrt(1 + 0.003 * 0.003);
  EXPECT_NEAR(minimum_zone(saddle).width_mm, 0.16 * square_to_face, 1e-7);
  EXPECT_NEAR(peak_to_valley_mm(saddle, least_squares_plane(saddle)), 0.16 * square_to_face, 1e-9);
}

TEST(Flatness, OneRaisedCornerIsTiltedHalfAwayByTheNarrowestSlab) {
  // Four corners of a square, one raised by h: weights (1, -1, 1, -1) / 2 give room for h / 2 and no less.
  const std::vector<FacePoint> corners{{{0, 0}, 0}, {{100, 0}, 0}, {{100, 100}, 0.1}, {{0, 100}, 0}};
  EXPECT_NEAR(minimum_zone(corners).width_mm, 0.05, 1e-7);
}

TEST(Flatness, TheNarrowestSlabHoldsEveryPointAndNoneIsNarrower) {
  rc::check([] {
    const std::vector<FacePoint> points = any_face();
    const MinimumZone zone = minimum_zone(points);
    RC_ASSERT(std::abs(room_of_touching(zone, points) - zone.width_mm) < 1e-6);
  });
}

TEST(Flatness, AboutTheLeastSquaresPlaneIsNeverLessThanTheNarrowestSlab) {
  rc::check([] {
    const std::vector<FacePoint> points = any_face();
    RC_ASSERT(minimum_zone(points).width_mm <= peak_to_valley_mm(points, least_squares_plane(points)) + 1e-9);
  });
}

TEST(Flatness, OfFewerThanFourPointsOrOfALineNeedsNoRoom) {
  const std::vector<FacePoint> three{{{0, 0}, 0}, {{1, 0}, 5}, {{0, 1}, 2}};
  EXPECT_EQ(minimum_zone(three).width_mm, 0);
  const std::vector<FacePoint> line{{{0, 0}, 0}, {{1, 1}, 1}, {{2, 2}, 0}, {{3, 3}, 1}};
  EXPECT_EQ(minimum_zone(line).width_mm, 0);
}

}  // namespace
}  // namespace boxfettle
