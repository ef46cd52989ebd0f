#include "reading/peak_depth.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <cmath>

namespace boxfettle {
namespace {

using Vector6 = Eigen::Matrix<double, 6, 1>;
using Matrix6 = Eigen::Matrix<double, 6, 6>;

constexpr std::size_t fewest_points = 20;

Vector6 terms(const Eigen::Vector2d& p) {
  return {1, p.x(), p.y(), p.x() * p.x(), p.x() * p.y(), p.y() * p.y()};
}

// The plane in which the points about the peak lie best.
Eigen::Matrix<double, 2, 3> tangent_axes(std::span<const PatchPoint> points) {
  Eigen::Vector3d mean = Eigen::Vector3d::Zero();
  for (const PatchPoint& p : points) mean += p.at_mm / static_cast<double>(points.size());
  Eigen::Matrix3d spread = Eigen::Matrix3d::Zero();
  for (const PatchPoint& p : points) spread += (p.at_mm - mean) * (p.at_mm - mean).transpose();
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> axes(spread);
  return axes.eigenvectors().rightCols<2>().transpose();
}

// The quadric's own summit, when it has one.
std::optional<Eigen::Vector2d> summit(const Vector6& quadric) {
  Eigen::Matrix2d bend;
  bend << 2 * quadric[3], quadric[4], quadric[4], 2 * quadric[5];
  const double sign = quadric[0] < 0 ? -1 : 1;
  if (Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d>(sign * bend).eigenvalues()[1] >= 0) return std::nullopt;
  return Eigen::Vector2d(-bend.inverse() * quadric.segment<2>(1));
}

constexpr double trusted = 0.5;  // of the radius: further out the quadric only guesses

// The summit when it lies that near, else the place the fit is about.
Eigen::Vector2d summit_of(const Vector6& quadric) {
  const std::optional<Eigen::Vector2d> at = summit(quadric);
  return at && at->norm() < trusted ? *at : Eigen::Vector2d::Zero();
}

// The quadric through the points, its coordinates counted from the spot in units of the radius.
struct Quadric {
  Eigen::Matrix<double, 2, 3> axes;
  Eigen::LDLT<Matrix6> normal;
  Vector6 of;

  PeakDepth at(const Eigen::Vector2d& place, const Eigen::Vector3d& spot_mm, double radius_mm,
               double noise_mm, double drift_mm) const {
    const Vector6 t = terms(place);
    const double variance = noise_mm * noise_mm * t.dot(normal.solve(t)) + drift_mm * drift_mm;
    return {spot_mm + radius_mm * (axes.transpose() * place), t.dot(of), 1.96 * std::sqrt(variance)};
  }
};

std::optional<Quadric> quadric_through(std::span<const PatchPoint> points, const Eigen::Vector3d& spot_mm,
                                       double radius_mm) {
  if (points.size() < fewest_points) return std::nullopt;
  const Eigen::Matrix<double, 2, 3> axes = tangent_axes(points);
  Matrix6 normal = Matrix6::Zero();
  Vector6 right = Vector6::Zero();
  for (const PatchPoint& p : points) {
    const Vector6 t = terms(axes * (p.at_mm - spot_mm) / radius_mm);
    normal += t * t.transpose();
    right += t * p.deviation_mm;
  }
  const Eigen::SelfAdjointEigenSolver<Matrix6> held(normal, Eigen::EigenvaluesOnly);
  if (held.eigenvalues()[0] < 1e-6 * held.eigenvalues()[5]) return std::nullopt;
  const Eigen::LDLT<Matrix6> solver(normal);
  return Quadric{axes, solver, solver.solve(right)};
}

}  // namespace

std::optional<PeakDepth> peak_depth(std::span<const PatchPoint> points, const Eigen::Vector3d& peak_mm,
                                    double radius_mm, double noise_mm, double drift_mm) {
  const std::optional<Quadric> quadric = quadric_through(points, peak_mm, radius_mm);
  if (!quadric) return std::nullopt;
  return quadric->at(summit_of(quadric->of), peak_mm, radius_mm, noise_mm, drift_mm);
}

std::optional<PeakDepth> depth_at(std::span<const PatchPoint> points, const Eigen::Vector3d& at_mm,
                                  double radius_mm, double noise_mm, double drift_mm) {
  const std::optional<Quadric> quadric = quadric_through(points, at_mm, radius_mm);
  if (!quadric) return std::nullopt;
  return quadric->at(Eigen::Vector2d::Zero(), at_mm, radius_mm, noise_mm, drift_mm);
}

std::optional<Eigen::Vector3d> toward_summit(std::span<const PatchPoint> points,
                                             const Eigen::Vector3d& from_mm, double radius_mm) {
  const std::optional<Quadric> quadric = quadric_through(points, from_mm, radius_mm);
  if (!quadric) return std::nullopt;
  std::optional<Eigen::Vector2d> step = summit(quadric->of);
  if (!step) return std::nullopt;
  if (step->norm() > trusted) *step *= trusted / step->norm();
  return from_mm + radius_mm * (quadric->axes.transpose() * *step);
}

}  // namespace boxfettle
