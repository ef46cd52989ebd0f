#include "reading/smoothed_face.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace boxfettle {
namespace {

using Eigen::Matrix3d;
using Eigen::Vector2d;
using Eigen::Vector3d;

constexpr double fewest_points = 12;

// Sums over the points of one square, enough for a plane.
struct Sums {
  Matrix3d squares = Matrix3d::Zero();
  Vector3d heights = Vector3d::Zero();

  void add(const Vector3d& t, double height) {
    squares += t * t.transpose();
    heights += height * t;
  }
  void add(const Sums& other) {
    squares += other.squares;
    heights += other.heights;
  }
};

struct Square {
  Sums odd, even;
  Vector2d low = Vector2d::Constant(1e300), high = Vector2d::Constant(-1e300);
};

// Lengths are in squares from the middle of the face: the sums stay well scaled.
Vector3d terms(const Vector2d& p, const Vector2d& middle, double side_mm) {
  return {1, (p.x() - middle.x()) / side_mm, (p.y() - middle.y()) / side_mm};
}

std::vector<Square> squares_of(const FaceCells& cells, std::span<const FacePoint> points,
                               const std::vector<bool>& left_out, const Vector2d& middle) {
  std::vector<Square> squares(cells.columns() * cells.rows());
  for (std::size_t i = 0; i < points.size(); ++i) {
    const std::size_t s = cells.square_at(points[i].at_mm);
    if (left_out[s] || cells.full().cell_of_triangle[s] == FaceCells::none) continue;
    Square& square = squares[s];
    (i % 2 == 1 ? square.odd : square.even)
        .add(terms(points[i].at_mm, middle, cells.side_mm()), points[i].height_mm);
    square.low = square.low.cwiseMin(points[i].at_mm);
    square.high = square.high.cwiseMax(points[i].at_mm);
  }
  return squares;
}

std::optional<Eigen::LDLT<Matrix3d>> solver(const Sums& sums) {
  if (sums.squares(0, 0) < fewest_points) return std::nullopt;
  // About the points' own middle: how far they spread in the direction in which they spread least.
  const Vector2d mean = sums.squares.block<2, 1>(1, 0) / sums.squares(0, 0);
  const Eigen::Matrix2d spread =
      sums.squares.bottomRightCorner<2, 2>() / sums.squares(0, 0) - mean * mean.transpose();
  const double half_trace = 0.5 * spread.trace();
  const double least = half_trace - std::sqrt(std::max(half_trace * half_trace - spread.determinant(), 0.0));
  if (least < 0.1) return std::nullopt;  // three squares have 0.75, one has 0.08
  return sums.squares.ldlt();
}

}  // namespace

SmoothedFace smoothed_face(const FaceCells& cells, std::span<const FacePoint> points,
                           const std::vector<bool>& left_out, double noise_mm) {
  SmoothedFace face;
  const Vector2d middle = cells.centre_mm(cells.columns() * cells.rows() / 2);
  const std::vector<Square> squares = squares_of(cells, points, left_out, middle);
  for (std::size_t s = 0; s < squares.size(); ++s) {
    if (squares[s].low.x() > squares[s].high.x()) continue;
    Sums odd, even, all;
    for (const std::size_t n : cells.around(s)) {
      odd.add(squares[n].odd);
      even.add(squares[n].even);
    }
    all.add(odd);
    all.add(even);
    const auto with_odd = solver(odd), with_even = solver(even), with_all = solver(all);
    if (!with_odd || !with_even || !with_all) continue;
    const std::array<Vector3d, 3> plane{with_all->solve(all.heights), with_odd->solve(odd.heights),
                                        with_even->solve(even.heights)};
    for (const Vector2d& corner :
         {squares[s].low, squares[s].high, Vector2d(squares[s].low.x(), squares[s].high.y()),
          Vector2d(squares[s].high.x(), squares[s].low.y())}) {
      const Vector3d t = terms(corner, middle, cells.side_mm());
      face.all.push_back({corner, plane[0].dot(t)});
      face.odd.push_back({corner, plane[1].dot(t)});
      face.even.push_back({corner, plane[2].dot(t)});
      face.standard_error_mm.push_back(noise_mm * std::sqrt(t.dot(with_all->solve(t))));
    }
  }
  return face;
}

namespace {

// Highest and lowest of `chosen_on` about its plane, measured on `measured_on` about its own.
double held_out_peak_to_valley(std::span<const FacePoint> chosen_on, std::span<const FacePoint> measured_on) {
  const SlopedPlane plane = least_squares_plane(chosen_on), other = least_squares_plane(measured_on);
  std::size_t low = 0, high = 0;
  const auto off = [&](std::span<const FacePoint> points, const SlopedPlane& about, std::size_t i) {
    return points[i].height_mm - about.at(points[i].at_mm);
  };
  for (std::size_t i = 1; i < chosen_on.size(); ++i) {
    if (off(chosen_on, plane, i) > off(chosen_on, plane, high)) high = i;
    if (off(chosen_on, plane, i) < off(chosen_on, plane, low)) low = i;
  }
  return off(measured_on, other, high) - off(measured_on, other, low);
}

double held_out_zone(std::span<const FacePoint> chosen_on, std::span<const FacePoint> measured_on) {
  const MinimumZone zone = minimum_zone(chosen_on);
  double width = 0;
  for (std::size_t i = 0; i < 4; ++i) width += zone.share[i] * measured_on[zone.touching[i]].height_mm;
  return width * zone.slant;
}

double root_mean_square(const std::vector<double>& values) {
  double sum = 0;
  for (const double v : values) sum += v * v;
  return values.empty() ? 0 : std::sqrt(sum / static_cast<double>(values.size()));
}

}  // namespace

Flatness flatness(const SmoothedFace& face, double drift_mm) {
  Flatness flat;
  if (face.all.size() < 4) return flat;
  const double seen = peak_to_valley_mm(face.all, least_squares_plane(face.all));
  const double held = std::max(
      0.5 * (held_out_peak_to_valley(face.odd, face.even) + held_out_peak_to_valley(face.even, face.odd)),
      0.0);
  const double zone = minimum_zone(face.all).width_mm;
  const double held_zone =
      std::max(0.5 * (held_out_zone(face.odd, face.even) + held_out_zone(face.even, face.odd)), 0.0);
  flat.least_squares_mm = 0.5 * (seen + std::min(held, seen));
  // No slab is wider than the one about the least squares plane; noise in either middle must not say
  // otherwise.
  flat.minimum_zone_mm = std::min(0.5 * (zone + std::min(held_zone, zone)), flat.least_squares_mm);
  // Two places far apart differ by the noise of both.
  const double single = std::hypot(root_mean_square(face.standard_error_mm), drift_mm);
  flat.u95_mm = 0.5 * (seen - std::min(held, seen)) + 1.96 * std::sqrt(2.0) * single;
  return flat;
}

}  // namespace boxfettle
