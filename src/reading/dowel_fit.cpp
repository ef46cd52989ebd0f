#include "reading/dowel_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <tuple>
#include <unordered_map>
#include <vector>

namespace boxfettle {
namespace {

using Eigen::Vector2d;
// At x and y, radius, lean x and y, direction, half length of the straight walls.
constexpr int numbers = 7;
using Row = Eigen::Matrix<double, numbers, 1>;
using Square = Eigen::Matrix<double, numbers, numbers>;

Vector2d axis_of(const DowelShape& shape) {
  return {std::cos(shape.axis_rad), std::sin(shape.axis_rad)};
}

struct Residual {
  double distance_mm;
  Row slope;  // of the distance, by each number
};

Residual residual(const DowelShape& shape, const WallPoint& p, const DowelFitSettings& settings) {
  const Vector2d axis = axis_of(shape), across(-axis.y(), axis.x());
  const Vector2d from = p.at_mm - shape.at_mm - p.height_mm * shape.lean;
  const double along = std::clamp(from.dot(axis), -shape.straight_mm, shape.straight_mm);
  const Vector2d off = from - along * axis;
  const double size = off.norm();
  const Vector2d out = size > 0 ? Vector2d(off / size) : axis;
  Residual r{size - shape.radius_mm, Row::Zero()};
  Vector2d moves = -out;
  if (settings.slot && !settings.ends) moves = moves.dot(across) * across;
  r.slope.head<2>() = moves;
  r.slope[2] = -1;
  if (settings.lean) r.slope.segment<2>(3) = p.height_mm * moves;
  if (settings.slot) r.slope[5] = -along * out.dot(across);
  if (settings.ends && std::abs(along) >= shape.straight_mm) r.slope[6] = -std::abs(out.dot(axis));
  return r;
}

double robust_scale(std::span<const Residual> all) {
  std::vector<double> sizes;
  for (const Residual& r : all) sizes.push_back(std::abs(r.distance_mm));
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return 1.4826 * *middle;
}

struct Weighing {
  double cut_mm;
  bool robust;
  double weight(double r) const {
    if (!robust) return 1;
    const double u = r / cut_mm;
    return std::abs(u) < 1 ? (1 - u * u) * (1 - u * u) : 0;
  }
  double slope(double r) const {  // of r * weight(r)
    if (!robust) return 1;
    const double u = r / cut_mm;
    return std::abs(u) < 1 ? (1 - u * u) * (1 - 5 * u * u) : 0;
  }
};

// Numbers that are not sought have no slope anywhere; they stay where they are.
Square inverse_of_sought(const Square& matrix) {
  std::vector<int> sought;
  for (int k = 0; k < numbers; ++k)
    if (matrix(k, k) > 0) sought.push_back(k);
  Eigen::MatrixXd small(sought.size(), sought.size());
  for (Eigen::Index i = 0; i < small.rows(); ++i)
    for (Eigen::Index j = 0; j < small.cols(); ++j)
      small(i, j) = matrix(sought[static_cast<std::size_t>(i)], sought[static_cast<std::size_t>(j)]);
  const Eigen::MatrixXd inverse = small.completeOrthogonalDecomposition().pseudoInverse();
  Square whole = Square::Zero();
  for (Eigen::Index i = 0; i < small.rows(); ++i)
    for (Eigen::Index j = 0; j < small.cols(); ++j)
      whole(sought[static_cast<std::size_t>(i)], sought[static_cast<std::size_t>(j)]) = inverse(i, j);
  return whole;
}

void move(DowelShape& shape, const Row& step) {
  shape.at_mm += step.head<2>();
  shape.radius_mm += step[2];
  shape.lean += step.segment<2>(3);
  shape.axis_rad += step[5];
  shape.straight_mm = std::max(shape.straight_mm + step[6], 0.0);
}

void estimate_covariance(DowelFit& fit, std::span<const WallPoint> points, std::span<const Residual> all,
                         const Weighing& weighing) {
  constexpr double block_mm = 3;
  std::unordered_map<std::uint64_t, Row> pulls;
  Square bread = Square::Zero();
  for (std::size_t i = 0; i < all.size(); ++i) {
    const double w = weighing.weight(all[i].distance_mm);
    if (w == 0) continue;
    ++fit.points_used;
    bread += weighing.slope(all[i].distance_mm) * all[i].slope * all[i].slope.transpose();
    const auto cell = [&](double at) {
      return static_cast<std::uint64_t>(std::llround(at / block_mm) + 4096) & 0x1fffff;
    };
    const Vector2d from = points[i].at_mm - fit.shape.at_mm;
    const std::uint64_t key = cell(from.x()) << 42 | cell(from.y()) << 21 | cell(points[i].height_mm);
    auto [at, fresh] = pulls.try_emplace(key, Row::Zero());
    at->second += w * all[i].distance_mm * all[i].slope;
  }
  fit.blocks = pulls.size();
  Square meat = Square::Zero();
  for (const auto& [key, pull] : pulls) meat += pull * pull.transpose();
  const double blocks = static_cast<double>(fit.blocks);
  if (blocks > numbers) meat *= blocks / (blocks - numbers);
  const Square inverse = inverse_of_sought(bread);
  const Square covariance = inverse * meat * inverse;
  fit.at_covariance = covariance.topLeftCorner<2, 2>();
  fit.radius_sd_mm = std::sqrt(std::max(covariance(2, 2), 0.0));
}

}  // namespace

double DowelShape::distance_mm(const WallPoint& p) const {
  const Vector2d axis = axis_of(*this);
  const Vector2d from = p.at_mm - at_mm - p.height_mm * lean;
  return (from - std::clamp(from.dot(axis), -straight_mm, straight_mm) * axis).norm() - radius_mm;
}

DowelFit fit_dowel(std::span<const WallPoint> points, const DowelShape& start,
                   const DowelFitSettings& settings) {
  constexpr double done_mm = 1e-7, tukey = 4.685, narrowest_mm = 0.005;
  DowelFit fit;
  fit.shape = start;
  if (points.empty()) return fit;
  std::vector<Residual> all(points.size());
  Weighing weighing{0, settings.robust};
  for (int iteration = 0;; ++iteration) {
    for (std::size_t i = 0; i < points.size(); ++i) all[i] = residual(fit.shape, points[i], settings);
    fit.scale_mm = robust_scale(all);
    weighing.cut_mm = std::max(tukey * fit.scale_mm, narrowest_mm);
    if (fit.converged || iteration == settings.most_iterations) break;
    Square normal = Square::Zero();
    Row right = Row::Zero();
    for (const Residual& r : all) {
      const double w = weighing.weight(r.distance_mm);
      if (w == 0) continue;
      normal += w * r.slope * r.slope.transpose();
      right -= w * r.distance_mm * r.slope;
    }
    const Row step = inverse_of_sought(normal) * right;
    move(fit.shape, step);
    fit.converged = step.head<3>().norm() < done_mm;
  }
  estimate_covariance(fit, points, all, weighing);
  return fit;
}

}  // namespace boxfettle
