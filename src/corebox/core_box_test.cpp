#include "corebox/core_box.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <Eigen/LU>
#include <stdexcept>

namespace boxfettle {
namespace {

TEST(PartingFace, ALevelFaceHasTheDesignsOwnAxes) {
  const PartingFace face = PartingFace::through({0, 0, 12}, {0, 0, 3});
  EXPECT_EQ(face.normal, Eigen::Vector3d(0, 0, 1));
  EXPECT_EQ(face.x_axis, Eigen::Vector3d(1, 0, 0));
  EXPECT_EQ(face.y_axis, Eigen::Vector3d(0, 1, 0));
  EXPECT_EQ(face.height_mm({5, 6, 20}), 8.0);
}

TEST(PartingFace, AnUprightFaceAcrossXTakesTheDesignsYAsItsX) {
  const PartingFace face = PartingFace::through({0, 0, 0}, {-2, 0, 0});
  EXPECT_EQ(face.x_axis, Eigen::Vector3d(0, 1, 0));
  EXPECT_EQ(face.y_axis, Eigen::Vector3d(0, 0, -1));
}

TEST(PartingFace, ANormalWithoutLengthIsNoFace) {
  EXPECT_THROW(PartingFace::through({0, 0, 0}, {0, 0, 0}), std::invalid_argument);
}

RC_GTEST_PROP(PartingFace, AnyNormalGivesRightHandedUnitAxesAndPlacesThatComeBack, ()) {
  const auto number = [] { return *rc::gen::inRange(-1000, 1001) * 0.37; };
  const Eigen::Vector3d normal(number(), number(), number());
  RC_PRE(normal.norm() > 0);
  const PartingFace face = PartingFace::through({number(), number(), number()}, normal);
  Eigen::Matrix3d axes;
  axes << face.x_axis, face.y_axis, face.normal;
  // Rounding of three normalised vectors; the projection for x is never shorter than 0.14.
  RC_ASSERT((axes.transpose() * axes).isIdentity(1e-13));
  RC_ASSERT(axes.determinant() > 0);
  const Eigen::Vector2d place(number(), number());
  RC_ASSERT((face.at_parting_mm(face.at_design_mm(place)) - place).norm() < 1e-9);
  RC_ASSERT(PartingFace::through(face.point_mm, face.normal) == face);
}

}  // namespace
}  // namespace boxfettle
