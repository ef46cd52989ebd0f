#include "reading/halves.hpp"

#include <tbb/parallel_invoke.h>

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <numbers>

namespace boxfettle {
namespace {

constexpr double degrees = 180 / std::numbers::pi;
constexpr std::size_t fewest_points = 300;
constexpr std::size_t fewest_blocks = 20;

double coverage_factor_95(std::size_t blocks) {
  const boost::math::students_t distribution(static_cast<double>(blocks) - 6);
  return boost::math::quantile(distribution, 0.975);
}

// Rotation and shift of the upper half against the lower one at the centroid, in the parting face's axes:
// (about x, about y, about the normal, along x, along y, across).
struct RelativeMotion {
  Vector6d value;
  Matrix6d covariance;
};

RelativeMotion relative_motion(const HalvesFit& fit, const PartingFace& parting,
                               const Eigen::Vector3d& centroid_mm) {
  // The scan's upper points, seen from the lower half, lie off their design place by this motion.
  const RigidPose moved = fit.lower.surface_from_points * fit.upper.surface_from_points.inverse();
  Eigen::Matrix3d axes;
  axes << parting.x_axis.transpose(), parting.y_axis.transpose(), parting.normal.transpose();
  Matrix6d turn = Matrix6d::Zero();
  turn.topLeftCorner<3, 3>() = axes;
  turn.bottomRightCorner<3, 3>() = axes;
  RelativeMotion motion;
  motion.value << axes * rotation_vector(moved.rotation), axes * (moved * centroid_mm - centroid_mm);
  motion.covariance = turn * (fit.lower.covariance + fit.upper.covariance) * turn.transpose();
  return motion;
}

double worst_shift(const RelativeMotion& motion, const PartingFace& parting,
                   const Eigen::Vector3d& centroid_mm, const std::vector<Eigen::Vector3d>& outline) {
  const Eigen::Vector2d shift = motion.value.segment<2>(3);
  const double turn = motion.value[2];
  double worst = shift.norm();
  for (const Eigen::Vector3d& p : outline) {
    const Eigen::Vector2d arm = parting.at_parting_mm(p) - parting.at_parting_mm(centroid_mm);
    worst = std::max(worst, (shift + turn * Eigen::Vector2d(-arm.y(), arm.x())).norm());
  }
  return worst;
}

double worst_opening(const RelativeMotion& motion, const PartingFace& parting,
                     const Eigen::Vector3d& centroid_mm, const std::vector<Eigen::Vector3d>& outline) {
  double worst = motion.value[5];
  for (const Eigen::Vector3d& p : outline) {
    const Eigen::Vector2d arm = parting.at_parting_mm(p) - parting.at_parting_mm(centroid_mm);
    const double opening = motion.value[5] + motion.value[0] * arm.y() - motion.value[1] * arm.x();
    if (std::abs(opening) > std::abs(worst)) worst = opening;
  }
  return worst;
}

double largest_sd(const Eigen::Matrix2d& covariance) {
  return std::sqrt(
      std::max(Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d>(covariance).eigenvalues()[1], 0.0));
}

// The direction in which a half is held least, from the eigenvalues of its information matrix.
std::string unheld_direction(const PoseFit& fit, const PartingFace& parting, const char* half) {
  constexpr double flat =
      1e-4;  // share of the best held direction below which shape does not tell a direction
  const Eigen::SelfAdjointEigenSolver<Matrix6d> axes(fit.information);
  if (axes.eigenvalues()[0] > flat * axes.eigenvalues()[5]) return {};
  const Vector6d v = axes.eigenvectors().col(0);
  const bool turning = v.head<3>().norm() > v.tail<3>().norm();
  const Eigen::Vector3d direction = turning ? v.head<3>() : v.tail<3>();
  const double across = std::abs(direction.dot(parting.normal)), x = std::abs(direction.dot(parting.x_axis)),
               y = std::abs(direction.dot(parting.y_axis));
  const char* name = across >= x && across >= y ? "the parting normal"
                     : x >= y                   ? "the parting face's x"
                                                : "the parting face's y";
  return std::string("The ") + half + " half has too little shape to tell a " +
         (turning ? "turn about " : "shift along ") + name + ".";
}

std::string why_not_told(const HalvesFit& fit, const HalfPoints& points, const PartingFace& parting,
                         const Limits& limits) {
  if (points.lower.cloud.size() < fewest_points || points.upper.cloud.size() < fewest_points)
    return std::string("Too little of the ") +
           (points.lower.cloud.size() < fewest_points ? "lower" : "upper") + " half was seen to place it.";
  if (fit.lower.blocks < fewest_blocks || fit.upper.blocks < fewest_blocks)
    return "What was seen of one half is too small a patch to place it.";
  for (const auto& [half, name] : {std::pair{&fit.lower, "lower"}, std::pair{&fit.upper, "upper"}})
    if (std::string why = unheld_direction(*half, parting, name); !why.empty()) return why;
  if (!fit.lower.converged || !fit.upper.converged)
    return "The halves could not be laid on the design steadily.";
  if (fit.reading.mismatch_u95_mm > limits.mismatch_mm || fit.reading.gap_u95_mm > limits.gap_mm)
    return "The scan is too rough to tell mismatch and gap against their limits.";
  return {};
}

}  // namespace

HalfPoses roughly_laid_halves(const SurfaceIndex& design, const HalfPoints& points, const HalfPoses& start,
                              const Eigen::Vector3d& centroid_mm) {
  FitSettings settings;
  settings.most_steps = settings.most_iterations;  // the planes stay the same
  settings.uncertainty = false;
  const auto laid = [&](const KnownPoints& half, const RigidPose& from) {
    if (half.cloud.size() == 0) return from;
    return fit_pose(on_known_planes(design, half.hits, points.whole), half.cloud, from, centroid_mm, settings)
        .surface_from_points;
  };
  HalfPoses poses;
  tbb::parallel_invoke([&] { poses.lower = laid(points.lower, start.lower); },
                       [&] { poses.upper = laid(points.upper, start.upper); });
  return poses;
}

HalvesFit fit_halves(const SurfaceIndex& design, const HalfPoints& points, const HalfPoses& start,
                     const PartingFace& parting, const std::vector<Eigen::Vector3d>& outline,
                     const Eigen::Vector3d& centroid_mm, const Limits& limits) {
  HalvesFit fit;
  fit.reading.centroid_mm = centroid_mm;
  // A few hundredths of a millimetre turn no plane: only an edge's own points find another.
  FitSettings settings;
  settings.most_steps = 4;
  settings.lay_again_mm = 0.02;
  const auto laid = [&](const KnownPoints& half, const RigidPose& from) {
    return half.cloud.size() > 0 ? fit_pose(design, half.cloud, from, centroid_mm, settings) : PoseFit{};
  };
  tbb::parallel_invoke([&] { fit.lower = laid(points.lower, start.lower); },
                       [&] { fit.upper = laid(points.upper, start.upper); });
  if (fit.lower.blocks > fewest_blocks && fit.upper.blocks > fewest_blocks) {
    const RelativeMotion motion = relative_motion(fit, parting, centroid_mm);
    const double k = coverage_factor_95(std::min(fit.lower.blocks, fit.upper.blocks));
    HalvesReading& r = fit.reading;
    r.mismatch_mm = motion.value.segment<2>(3);
    r.mismatch_worst_mm = worst_shift(motion, parting, centroid_mm, outline);
    r.rotation_deg = degrees * motion.value[2];
    r.gap_mm = motion.value[5];
    r.gap_worst_mm = worst_opening(motion, parting, centroid_mm, outline);
    r.tilt_deg = degrees * motion.value.head<2>();
    r.mismatch_u95_mm = k * largest_sd(motion.covariance.block<2, 2>(3, 3));
    r.gap_u95_mm = k * std::sqrt(std::max(motion.covariance(5, 5), 0.0));
    r.rotation_u95_deg = k * degrees * std::sqrt(std::max(motion.covariance(2, 2), 0.0));
    r.tilt_u95_deg = k * degrees * motion.covariance.diagonal().head<2>().cwiseMax(0.0).cwiseSqrt();
  }
  fit.reading.why_not = why_not_told(fit, points, parting, limits);
  fit.reading.told = fit.reading.why_not.empty();
  return fit;
}

}  // namespace boxfettle
