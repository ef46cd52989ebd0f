#include "geometry/text_points.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include "geometry/surface_file_test_shapes.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

PointCloud points_in(std::string_view text) {
  const SurfaceFile file = read_text(text, "scan.xyz");
  EXPECT_EQ(file.kind, "text points");
  return std::get<PointCloud>(file.surface);
}

void expect_two_points(std::string_view text) {
  const PointCloud points = points_in(text);
  ASSERT_EQ(points.size(), 2u) << text;
  // Offsets are floats: half a unit in the last place of a number below 8 is 2.4e-7.
  EXPECT_LT((points.point_mm(0) - Eigen::Vector3d(1.5, -2.25, 3)).norm(), 1e-6) << text;
  EXPECT_LT((points.point_mm(1) - Eigen::Vector3d(4, 5.125, 0.006)).norm(), 1e-6) << text;
}

TEST(TextPoints, EverySeparatorAndDecimalSignGivesTheSamePoints) {
  expect_two_points("1.5 -2.25 3\n4 5.125 6e-3\n");
  expect_two_points("1.5,-2.25,3\n4,5.125,6e-3");
  expect_two_points("1.5, -2.25, 3\r\n4, 5.125, 6e-3\r\n");
  expect_two_points("1.5\t-2.25\t3\n4\t5.125\t6e-3\n");
  expect_two_points("1.5;-2.25;3\n4;5.125;6e-3\n");
  expect_two_points("1,5;-2,25;3\n4;5,125;0,006\n");
  expect_two_points("1,5 -2,25 3,0\n4 5,125 6e-3\n");
  expect_two_points("1,5\t-2,25\t3\n+4\t5,125\t6e-3\n");
  expect_two_points("\xEF\xBB\xBF# a remark\n\n// another\n  1.5   -2.25 3  \n4 5.125 6e-3\n\n");
  expect_two_points("1.5 -2.25 3\r4 5.125 6e-3\r");
}

TEST(TextPoints, AHeaderRowIsOptionalAndSaysWhereTheColumnsAre) {
  expect_two_points("x,y,z\n1.5,-2.25,3\n4,5.125,6e-3\n");
  expect_two_points("\"X [mm]\";\"Y [mm]\";\"Z [mm]\"\n1,5;-2,25;3\n4;5,125;0,006\n");
  expect_two_points("id,z_mm,x_mm,y_mm\n1,3,1.5,-2.25\n2,0.006,4,5.125\n");
  expect_two_points("east north up\n1.5 -2.25 3\n4 5.125 6e-3\n");
}

TEST(TextPoints, ExtraColumnsAreNotNormalsUnlessTheyAreNamedOrOfUnitLength) {
  EXPECT_TRUE(points_in("1 2 3 255 0 17\n4 5 6 0 0 1\n").normals.empty());
  EXPECT_TRUE(points_in("1 2 3 0 0 1\n4 5 6 0 0 0.5\n").normals.empty());
  EXPECT_TRUE(points_in("x y z r g b\n1 2 3 0 0 1\n4 5 6 0 1 0\n").normals.empty());
  EXPECT_EQ(points_in("1 2 3 0 0 1\n4 5 6 0 0.6 0.8\n").normals.size(), 2u);
  EXPECT_EQ(points_in("1 2 3 0 0 1 200\n4 5 6 0 0.6 0.8 201\n").normals.size(), 2u);
  const PointCloud named = points_in("x,y,z,intensity,nx,ny,nz\n1,2,3,99,0,0,2\n4,5,6,98,3,0,4\n");
  ASSERT_EQ(named.normals.size(), 2u);
  EXPECT_EQ(named.normals[0], Eigen::Vector3f(0, 0, 1));
}

TEST(TextPoints, AScanInMachineCoordinatesKeepsATenthOfAMicrometre) {
  const PointCloud points =
      points_in("1234567.1234 2345678.2345 -3456789.3456\n1234567.1239 2345678.2345 -3456789.3456\n");
  EXPECT_NEAR(points.point_mm(1).x() - points.point_mm(0).x(), 0.0005, 1e-7);
}

void expect_refused(std::string_view text, const std::string& place, const std::string& what) {
  EXPECT_THAT([&] { read_text(text, "scan.xyz"); },
              ThrowsMessage<InputError>(testing::AllOf(HasSubstr(place), HasSubstr(what))));
}

TEST(TextPoints, ALineWithoutThreeNumbersIsRefusedWithItsNumber) {
  expect_refused("1 2 3\n4 5\n", "line 2", "three numbers are due");
  expect_refused("1 2 3\n\n4 5 gravel\n", "line 3", "'gravel' is not a number");
  expect_refused("1,2,3\n4,,6\n", "line 2", "'' is not a number");
  expect_refused("1.000,5;2;3\n", "", "holds no points");
  expect_refused("1;2;3\n1.000,5;2;3\n", "line 2", "'1.000,5' is not a number");
  expect_refused("x y z\n", "", "holds no points");
  expect_refused("# only a remark\n", "", "holds no points");
  expect_refused("words upon words\nand more words\n", "line 2", "'and' is not a number");
}

TEST(TextPoints, NumbersThatAreNoPlaceAreRefused) {
  expect_refused("1 2 3\n4 nan 6\n", "line 2", "not a finite number");
  expect_refused("1 2 3\n4 inf 6\n", "line 2", "not a finite number");
  expect_refused("1 2 3\n4 1e999 6\n", "line 2", "not a finite number");
  expect_refused("1 2 3\n4 -10000001 6\n", "line 2", "larger than 10,000,000");
}

TEST(TextPoints, StepUnderAnyNameIsRefusedWithWhatToDo) {
  expect_refused("ISO-10303-21;\nHEADER;\n", "line 1", "STEP holds curved faces");
}

RC_GTEST_PROP(TextPoints, ATruncatedTextIsRefusedOrItsPointsAreAPrefix, ()) {
  const std::string whole = "x,y,z\n1.5,2.25,3\n4,5.125,0.006\n-7.5,8,9\n";
  const PointCloud all = points_in(whole);
  const auto length = *rc::gen::inRange<std::size_t>(0, whole.size());
  try {
    const PointCloud part = points_in(std::string_view(whole).substr(0, length));
    RC_ASSERT(part.size() <= all.size());
    // The last number itself may be cut: a text cannot tell.
    for (std::size_t i = 0; i + 1 < part.size(); ++i) RC_ASSERT(part.point_mm(i) == all.point_mm(i));
  } catch (const InputError& refused) {
    RC_ASSERT(!refused.fault().empty());
  }
}

RC_GTEST_PROP(TextPoints, FlippedBytesAreReadOrRefusedButNeverCrash, ()) {
  std::string text = *rc::gen::element<std::string>("x,y,z\n1.5,2.25,3\n4,5.125,0.006\n",
                                                    "1,5;2,5;3\n4;5;6\n", "1 2 3 0 0 1\n4 5 6 0 1 0\n");
  for (int i = *rc::gen::inRange(1, 6); i > 0; --i)
    text[*rc::gen::inRange<std::size_t>(0, text.size())] = *rc::gen::arbitrary<char>();
  try {
    const SurfaceFile file = read_text_points(bytes_of(text), "scan.xyz");
    const auto& points = std::get<PointCloud>(file.surface);
    RC_ASSERT(points.normals.empty() || points.normals.size() == points.size());
  } catch (const InputError& refused) {
    RC_ASSERT(!refused.mend().empty());
  }
}

}  // namespace
}  // namespace boxfettle
