// Circles, planes and flatness of measured faces against published cases, closed forms and another library.
#include <CGAL/Exact_rational.h>
#include <CGAL/Homogeneous.h>
#include <CGAL/Simple_cartesian.h>
#include <CGAL/Width_3.h>
#include <CGAL/Width_default_traits_3.h>
#include <CGAL/linear_least_squares_fitting_3.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "reading/dowel_fit.hpp"
#include "reading/flatness.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using std::numbers::pi;

constexpr DowelFitSettings plain_circle{.lean = false, .robust = false, .most_iterations = 500};

double squares(const std::vector<WallPoint>& points, const Vector2d& centre, double radius) {
  double sum = 0;
  for (const WallPoint& p : points) sum += std::pow((p.at_mm - centre).norm() - radius, 2);
  return sum;
}

// W. Gander, G. H. Golub and R. Strebel, "Least-Squares Fitting of Circles and Ellipses", BIT 34 (1994): six
// points whose geometric fit has centre (4.7398, 2.9835) and radius 4.7142. Points and answer from memory;
// that the answer is a minimum is checked below without them.
TEST(CircleFit, GivesThePublishedCircleThroughSixPoints) {
  std::vector<WallPoint> points;
  for (const auto& [x, y] : {std::pair{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}})
    points.push_back({Vector2d(x, y), 0});
  DowelShape start;
  start.at_mm = {5.3794, 7.2532 - 4};
  start.radius_mm = 4;
  const DowelFit fit = fit_dowel(points, start, plain_circle);
  EXPECT_NEAR(fit.shape.at_mm.x(), 4.7398, 5e-5);
  EXPECT_NEAR(fit.shape.at_mm.y(), 2.9835, 5e-5);
  EXPECT_NEAR(fit.shape.radius_mm, 4.7142, 5e-5);
  const double least = squares(points, fit.shape.at_mm, fit.shape.radius_mm);
  for (int k = 0; k < 16; ++k) {
    const Vector2d off = 1e-3 * Vector2d(std::cos(k * pi / 8), std::sin(k * pi / 8));
    for (const double wider : {-1e-3, 0.0, 1e-3})
      EXPECT_GT(squares(points, fit.shape.at_mm + off, fit.shape.radius_mm + wider), least);
  }
}

// Closed form: of points evenly round, every second one out by e and the others in by e, the centre is the
// centre by symmetry, and for a fixed centre the best radius is the mean distance.
TEST(CircleFit, OfAnEvenlyLobedBoreIsItsMeanCircle) {
  std::vector<WallPoint> points;
  for (int k = 0; k < 48; ++k) {
    const double angle = k * pi / 24, radius = 6 + (k % 2 == 0 ? 0.05 : -0.03);
    points.push_back({Vector2d(12, -7) + radius * Vector2d(std::cos(angle), std::sin(angle)), 0});
  }
  DowelShape start;
  start.at_mm = {12.4, -7.3};
  start.radius_mm = 5.5;
  const DowelFit fit = fit_dowel(points, start, plain_circle);
  EXPECT_NEAR(fit.shape.at_mm.x(), 12, 1e-6);
  EXPECT_NEAR(fit.shape.at_mm.y(), -7, 1e-6);
  EXPECT_NEAR(fit.shape.radius_mm, 6.01, 1e-7);
}

// Closed form: through three points goes one circle, the circumscribed one; of the 3-4-5 triangle its centre
// is the middle of the long side and its radius half of it (Thales).
TEST(CircleFit, ThroughThreePointsIsTheCircumscribedCircle) {
  const std::vector<WallPoint> points{{{0, 0}, 0}, {{4, 0}, 0}, {{0, 3}, 0}};
  DowelShape start;
  start.at_mm = {1, 1};
  const DowelFit fit = fit_dowel(points, start, plain_circle);
  EXPECT_NEAR((fit.shape.at_mm - Vector2d(2, 1.5)).norm(), 0, 1e-6);
  EXPECT_NEAR(fit.shape.radius_mm, 2.5, 1e-6);
}

// Closed form: over a grid that is the same left and right, near and far, the terms x y and x^2 less its mean
// stand square to 1, x and y, so that they change nothing in the plane through them (normal equations).
TEST(LeastSquaresPlane, OfASaddleAndABowOnAPlaneIsThatPlane) {
  constexpr int reach = 10;
  constexpr double step_mm = 15, mean_square = step_mm * step_mm * reach * (reach + 1) / 3.0;
  std::vector<FacePoint> points;
  for (int i = -reach; i <= reach; ++i)
    for (int j = -reach; j <= reach; ++j) {
      const double x = i * step_mm, y = j * step_mm;
      points.push_back({Vector2d(x + 400, y - 250),
                        0.31 + 2e-4 * x - 7e-4 * y + 3e-6 * x * y + 2e-6 * (x * x - mean_square)});
    }
  const SlopedPlane plane = least_squares_plane(points);
  EXPECT_NEAR(plane.at({400, -250}), 0.31, 1e-12);
  EXPECT_NEAR(plane.slope.x(), 2e-4, 1e-15);
  EXPECT_NEAR(plane.slope.y(), -7e-4, 1e-15);
}

// CGAL's is of the distances square to the plane, ours of the heights: with a slope s they differ by a share
// of s^2 of what the points scatter, here less than 1e-5 of 0.02 mm.
TEST(LeastSquaresPlane, IsTheOneThatAnotherLibraryFits) {
  using Kernel = CGAL::Simple_cartesian<double>;
  std::mt19937 random(23);
  std::uniform_real_distribution<double> even(-1, 1);
  for (int face = 0; face < 12; ++face) {
    const Vector2d slope(3e-3 * even(random), 3e-3 * even(random));
    std::vector<FacePoint> points;
    std::vector<Kernel::Point_3> places;
    for (int i = 0; i < 500; ++i) {
      const Vector2d at(200 * even(random), 150 * even(random));
      points.push_back({at, slope.dot(at) + 0.02 * even(random)});
      places.emplace_back(at.x(), at.y(), points.back().height_mm);
    }
    Kernel::Plane_3 theirs;
    CGAL::linear_least_squares_fitting_3(places.begin(), places.end(), theirs, CGAL::Dimension_tag<0>());
    const SlopedPlane ours = least_squares_plane(points);
    for (const Vector2d& at : {Vector2d(0, 0), {200, 150}, {-200, 150}})
      EXPECT_NEAR(ours.at(at), -(theirs.a() * at.x() + theirs.b() * at.y() + theirs.d()) / theirs.c(), 1e-6);
  }
}

// CGAL computes the width of a point set in space exactly, over rational numbers.
double width_by_cgal(const std::vector<FacePoint>& points) {
  using Kernel = CGAL::Homogeneous<CGAL::Exact_rational>;
  std::vector<Kernel::Point_3> places;
  for (const FacePoint& p : points) places.emplace_back(p.at_mm.x(), p.at_mm.y(), p.height_mm, 1);
  CGAL::Width_3<CGAL::Width_default_traits_3<Kernel>> width(places.begin(), places.end());
  CGAL::Exact_rational top, bottom;
  width.get_squared_width(top, bottom);
  return std::sqrt(CGAL::to_double(top / bottom));
}

TEST(MinimumZone, IsTheWidthThatAnotherLibraryFinds) {
  std::mt19937 random(17);
  std::uniform_real_distribution<double> even(-1, 1);
  for (int face = 0; face < 12; ++face) {
    std::vector<FacePoint> points;
    for (int i = 0; i < 40; ++i) {
      const Vector2d at(200 * even(random), 150 * even(random));
      points.push_back({at, 1e-6 * at.x() * at.y() + 3e-6 * at.squaredNorm() + 0.01 * even(random)});
    }
    // The slope enters by its square, and the heights were shaken by a billionth.
    EXPECT_NEAR(minimum_zone(points).width_mm, width_by_cgal(points), 1e-6);
  }
}

}  // namespace
}  // namespace boxfettle
