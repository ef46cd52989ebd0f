#include "reading/smoothed_face.hpp"

#include <tbb/parallel_for.h>

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <random>

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

// Empty when the points are too few, or lie too near a line, for a plane.
std::optional<Matrix3d> inverse_of(const Sums& sums) {
  if (sums.squares(0, 0) < fewest_points) return std::nullopt;
  // About the points' own middle: how far they spread in the direction in which they spread least.
  const Vector2d mean = sums.squares.block<2, 1>(1, 0) / sums.squares(0, 0);
  const Eigen::Matrix2d spread =
      sums.squares.bottomRightCorner<2, 2>() / sums.squares(0, 0) - mean * mean.transpose();
  const double half_trace = 0.5 * spread.trace();
  const double least = half_trace - std::sqrt(std::max(half_trace * half_trace - spread.determinant(), 0.0));
  if (least < 0.1) return std::nullopt;  // three squares have 0.75, one has 0.08
  return sums.squares.ldlt().solve(Matrix3d::Identity());
}

// R with R R^T = m, for an m without negative eigenvalues; a square of one point has two of zero.
Matrix3d square_root(const Matrix3d& m) {
  const Eigen::SelfAdjointEigenSolver<Matrix3d> axes(m);
  return axes.eigenvectors() * axes.eigenvalues().cwiseMax(0.0).cwiseSqrt().asDiagonal();
}

}  // namespace

SmoothedFace::SmoothedFace(const FaceCells& cells, std::span<const FacePoint> points,
                           const std::vector<bool>& left_out) {
  const Vector2d middle = cells.centre_mm(cells.columns() * cells.rows() / 2);
  const std::vector<Square> squares = squares_of(cells, points, left_out, middle);
  spread_.assign(squares.size(), Matrix3d::Zero());
  double differences = 0;
  for (std::size_t s = 0; s < squares.size(); ++s) {
    if (squares[s].low.x() > squares[s].high.x()) continue;
    spread_[s] = square_root(squares[s].odd.squares + squares[s].even.squares);
    Sums odd, even, all;
    Plane plane;
    for (const std::size_t n : cells.around(s)) {
      odd.add(squares[n].odd);
      even.add(squares[n].even);
      if (squares[n].low.x() <= squares[n].high.x()) plane.through.push_back(static_cast<std::uint32_t>(n));
    }
    all.add(odd);
    all.add(even);
    const auto of_odd = inverse_of(odd), of_even = inverse_of(even), of_all = inverse_of(all);
    if (!of_odd || !of_even || !of_all) continue;
    plane.inverse = *of_all;
    const Vector3d fitted = *of_all * all.heights, differs = *of_odd * odd.heights - *of_even * even.heights;
    const Vector2d &low = squares[s].low, &high = squares[s].high;
    const std::array<Vector2d, 4> corners{low, high, Vector2d(low.x(), high.y()),
                                          Vector2d(high.x(), low.y())};
    for (const Vector2d& corner : corners) {
      const Vector3d t = terms(corner, middle, cells.side_mm());
      plane.place_terms.push_back(t);
      places_.push_back({corner, fitted.dot(t)});
      per_noise_.push_back(std::sqrt(std::max(t.dot(*of_all * t), 0.0)));
      differences += std::pow(differs.dot(t), 2) / t.dot((*of_odd + *of_even) * t);
    }
    planes_.push_back(std::move(plane));
  }
  if (places_.empty()) return;
  noise_mm_ = std::sqrt(differences / static_cast<double>(places_.size()));
  keep_well_told();
}

void SmoothedFace::keep_well_told() {
  constexpr double times_the_middle = 2;
  std::vector<double> sorted = per_noise_;
  const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
  std::nth_element(sorted.begin(), middle, sorted.end());
  std::size_t from = 0, kept = 0;
  for (Plane& plane : planes_) {
    std::vector<Vector3d> terms;
    for (const Vector3d& t : plane.place_terms) {
      const std::size_t place = from++;
      if (per_noise_[place] > times_the_middle * *middle) continue;
      terms.push_back(t);
      places_[kept] = places_[place];
      per_noise_[kept++] = per_noise_[place];
    }
    plane.place_terms = std::move(terms);
  }
  places_.resize(kept);
  per_noise_.resize(kept);
}

std::vector<double> SmoothedFace::drawn_noise_mm(std::uint64_t draw) const {
  std::mt19937_64 random(draw);
  std::normal_distribution<double> normal;
  std::vector<Vector3d> sums(spread_.size());
  for (std::size_t s = 0; s < sums.size(); ++s)
    sums[s] = spread_[s] * Vector3d(normal(random), normal(random), normal(random));
  std::vector<double> noise_mm;
  noise_mm.reserve(places_.size());
  for (const Plane& plane : planes_) {
    Vector3d sum = Vector3d::Zero();
    for (const std::uint32_t s : plane.through) sum += sums[s];
    const Vector3d fitted = noise_mm_ * (plane.inverse * sum);
    for (const Vector3d& t : plane.place_terms) noise_mm.push_back(fitted.dot(t));
  }
  return noise_mm;
}

namespace {

// What the face probably is: its smooth form, and of what is seen beyond that the share which noise does not
// explain (Efron and Morris, Journal of the American Statistical Association 68, 1973, from memory).
std::vector<FacePoint> probable_face(const SmoothedFace& face, const FaceForm& form) {
  double beyond = 0, by_noise = 0;
  for (std::size_t i = 0; i < face.places().size(); ++i) {
    const FacePoint& p = face.places()[i];
    beyond += std::pow(p.height_mm - form.at(p.at_mm), 2);
    by_noise += std::pow(face.standard_error_mm(i), 2);
  }
  const double share = beyond > 0 ? std::max(1 - by_noise / beyond, 0.0) : 0;
  std::vector<FacePoint> probable = face.places();
  for (FacePoint& p : probable) {
    const double smooth_mm = form.at(p.at_mm);
    p.height_mm = smooth_mm + share * (p.height_mm - smooth_mm);
  }
  return probable;
}

struct Widths {
  double least_squares_mm, minimum_zone_mm;
};

Widths widths(const std::vector<FacePoint>& face) {
  return {peak_to_valley_mm(face, least_squares_plane(face)), minimum_zone(face).width_mm};
}

struct NoiseIn {
  double adds_mm, u95_mm;
};

// The mean of what the draws add, and what 95 of 100 stray from it at most.
NoiseIn noise_in(std::vector<double> drawn_mm, double without_mm) {
  double mean = 0;
  for (const double d : drawn_mm) mean += d / static_cast<double>(drawn_mm.size());
  std::vector<double> off;
  for (const double d : drawn_mm) off.push_back(std::abs(d - mean));
  const auto place = off.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(off.size()));
  std::nth_element(off.begin(), place, off.end());
  return {mean - without_mm, *place};
}

}  // namespace

Flatness flatness(const SmoothedFace& face, const FaceForm& form, double drift_mm) {
  constexpr std::size_t draws = 100;  // tell the mean to a tenth of the scatter
  Flatness flat;
  if (face.places().size() < 4) return flat;
  const std::vector<FacePoint> probable = probable_face(face, form);
  std::vector<double> by_squares(draws), by_zone(draws);
  tbb::parallel_for(std::size_t{0}, draws, [&](std::size_t draw) {
    const std::vector<double> noise_mm = face.drawn_noise_mm(draw);
    std::vector<FacePoint> noisy = probable;
    for (std::size_t i = 0; i < noisy.size(); ++i) noisy[i].height_mm += noise_mm[i];
    const Widths drawn = widths(noisy);
    by_squares[draw] = drawn.least_squares_mm;
    by_zone[draw] = drawn.minimum_zone_mm;
  });
  const Widths seen = widths(face.places()), without = widths(probable);
  const NoiseIn squares = noise_in(std::move(by_squares), without.least_squares_mm),
                zone = noise_in(std::move(by_zone), without.minimum_zone_mm);
  flat.least_squares_mm = std::max(seen.least_squares_mm - squares.adds_mm, 0.0);
  // No slab is wider than the one about the least squares plane; noise in either must not say otherwise.
  flat.minimum_zone_mm = std::clamp(seen.minimum_zone_mm - zone.adds_mm, 0.0, flat.least_squares_mm);
  // Drift is shared by neighbours, so no draw has it: two places far apart differ by that of both.
  flat.u95_mm = std::hypot(std::max(squares.u95_mm, zone.u95_mm), 1.96 * std::sqrt(2.0) * drift_mm);
  return flat;
}

}  // namespace boxfettle
