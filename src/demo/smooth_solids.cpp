#include "demo/smooth_solids.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle::demo {

using Eigen::Vector2d;
using Eigen::Vector3d;

double blended(double one, double other, double blend_mm) {
  // A parabola bridges the two where they differ by less than the blend; slopes agree at both ends.
  const double bridge = std::max(blend_mm - std::abs(one - other), 0.0);
  return std::min(one, other) - bridge * bridge / (4 * blend_mm);
}

double common(double one, double other, double blend_mm) {
  return -blended(-one, -other, blend_mm);
}

namespace {

double rounded_corner(Vector2d beyond, double round_mm) {
  beyond.array() += round_mm;
  return std::min(beyond.maxCoeff(), 0.0) + beyond.cwiseMax(0.0).norm() - round_mm;
}

}  // namespace

double rod(const Vector3d& p, const Vector3d& from_mm, const Vector3d& to_mm, double radius_mm,
           double round_mm) {
  const Vector3d length = to_mm - from_mm;
  const double half = 0.5 * length.norm();
  const Vector3d offset = p - 0.5 * (from_mm + to_mm);
  const double along = offset.dot(length) / (2 * half);
  const double across = std::sqrt(std::max(offset.squaredNorm() - along * along, 0.0));
  return rounded_corner({across - radius_mm, std::abs(along) - half}, round_mm);
}

double taper(const Vector3d& p, const Vector3d& from_mm, const Vector3d& to_mm, double from_radius_mm,
             double to_radius_mm) {
  const Vector3d length = to_mm - from_mm;
  const double share = std::clamp((p - from_mm).dot(length) / length.squaredNorm(), 0.0, 1.0);
  return (p - from_mm - share * length).norm() - std::lerp(from_radius_mm, to_radius_mm, share);
}

double brick(const Vector3d& p, const Vector3d& centre_mm, const Vector3d& half_sides_mm, double round_mm) {
  const Vector3d beyond = ((p - centre_mm).cwiseAbs() - half_sides_mm).array() + round_mm;
  return std::min(beyond.maxCoeff(), 0.0) + beyond.cwiseMax(0.0).norm() - round_mm;
}

}  // namespace boxfettle::demo
