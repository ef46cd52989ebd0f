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

// The quadric's own summit when it has one within half the radius, else the place the fit is about.
Eigen::Vector2d summit_of(const Vector6& quadric) {
  Eigen::Matrix2d bend;
  bend << 2 * quadric[3], quadric[4], quadric[4], 2 * quadric[5];
  const double sign = quadric[0] < 0 ? -1 : 1;
  if (Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d>(sign * bend).eigenvalues()[1] >= 0)
    return Eigen::Vector2d::Zero();
  const Eigen::Vector2d at = -bend.inverse() * quadric.segment<2>(1);
  return at.norm() < 0.5 ? at : Eigen::Vector2d::Zero();
}

}  // namespace

std::optional<PeakDepth> peak_depth(std::span<const PatchPoint> points, const Eigen::Vector3d& peak_mm,
                                    double radius_mm, double noise_mm, double drift_mm) {
  if (points.size() < fewest_points) return std::nullopt;
  const Eigen::Matrix<double, 2, 3> axes = tangent_axes(points);
  Matrix6 normal = Matrix6::Zero();
  Vector6 right = Vector6::Zero();
  for (const PatchPoint& p : points) {
    const Vector6 t = terms(axes * (p.at_mm - peak_mm) / radius_mm);
    normal += t * t.transpose();
    right += t * p.deviation_mm;
  }
  const Eigen::SelfAdjointEigenSolver<Matrix6> held(normal, Eigen::EigenvaluesOnly);
  if (held.eigenvalues()[0] < 1e-6 * held.eigenvalues()[5]) return std::nullopt;
  const Eigen::LDLT<Matrix6> solver(normal);
  const Vector6 quadric = solver.solve(right);
  const Eigen::Vector2d summit = summit_of(quadric);
  const Vector6 t = terms(summit);
  const double variance = noise_mm * noise_mm * t.dot(solver.solve(t)) + drift_mm * drift_mm;
  return PeakDepth{peak_mm + radius_mm * (axes.transpose() * summit), t.dot(quadric),
                   1.96 * std::sqrt(variance)};
}

}  // namespace boxfettle
