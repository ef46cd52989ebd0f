#include "reading/pose_fit.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace boxfettle {
namespace {

struct Residual {
  double distance_mm;      // signed; infinite when nothing was within reach, which no weight survives
  Eigen::Vector3d at_mm;   // the point, in the surface's frame
  Eigen::Vector3d normal;  // direction in which the distance grows
};

// Near the surface the facet tells the direction better than the tiny offset does.
constexpr double offset_tells_direction_above_mm = 0.5;

std::vector<Residual> residuals(const SurfaceIndex& surface, const HitFinder& find_hits,
                                const PointCloud& points, const RigidPose& pose) {
  const std::vector<SurfaceHit> hits = find_hits(points, pose);
  std::vector<Residual> all(hits.size());
  for (std::size_t i = 0; i < hits.size(); ++i) {
    const Eigen::Vector3d at = pose * points.point_mm(i);
    const double distance = hits[i].signed_mm;
    if (hits[i].triangle == no_triangle) {
      all[i] = {distance, at, Eigen::Vector3d::Zero()};
      continue;
    }
    const Eigen::Vector3d normal =
        std::abs(distance) > offset_tells_direction_above_mm
            ? Eigen::Vector3d(surface.direction_from(hits[i].triangle, at) * (distance < 0 ? -1 : 1))
            : surface.triangle_normals()[hits[i].triangle].cast<double>();
    all[i] = {distance, at, normal};
  }
  return all;
}

double biweight(double distance_mm, double cut_mm) {
  const double u = distance_mm / cut_mm;
  return std::abs(u) < 1 ? (1 - u * u) * (1 - u * u) : 0;
}

Vector6d gradient(const Eigen::Vector3d& arm, const Eigen::Vector3d& n) {
  Vector6d j;
  j[0] = arm[1] * n[2] - arm[2] * n[1];
  j[1] = arm[2] * n[0] - arm[0] * n[2];
  j[2] = arm[0] * n[1] - arm[1] * n[0];
  j[3] = n[0];
  j[4] = n[1];
  j[5] = n[2];
  return j;
}

Vector6d gradient(const Residual& r, const Eigen::Vector3d& pivot) {
  return gradient(r.at_mm - pivot, r.normal);
}

// What a small step makes of the residuals, to first order: to look for the places anew would change them by
// its square only.
void move(std::vector<Residual>& all, const Vector6d& step, const RigidPose& moved,
          const Eigen::Vector3d& pivot) {
  for (Residual& r : all) {
    r.distance_mm += gradient(r, pivot).dot(step);
    r.at_mm = moved * r.at_mm;
  }
}

// 1.4826 * median |r|: about zero, since a pose that fits leaves as much outside as inside.
double robust_scale(const std::vector<Residual>& all, double widest_mm) {
  std::vector<double> sizes;
  sizes.reserve(all.size());
  for (const Residual& r : all)
    if (std::abs(r.distance_mm) <= widest_mm) sizes.push_back(std::abs(r.distance_mm));
  if (sizes.empty()) return widest_mm;
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return 1.4826 * *middle;
}

struct Normals {
  Matrix6d matrix = Matrix6d::Zero();  // the upper triangle, until completed()
  Vector6d right = Vector6d::Zero();

  void add(const Vector6d& j, double distance_mm, double weight) {
    add_matrix(j, weight);
    right -= (weight * distance_mm) * j;
  }
  void add_matrix(const Vector6d& j, double weight) {
    for (Eigen::Index col = 0; col < 6; ++col)
      for (Eigen::Index row = 0; row <= col; ++row) matrix(row, col) += weight * j[col] * j[row];
  }
  Normals& operator+=(const Normals& other) {
    matrix += other.matrix;
    right += other.right;
    return *this;
  }
  Normals completed() const { return {matrix.selfadjointView<Eigen::Upper>(), right}; }
};

Normals normal_equations(const std::vector<Residual>& all, const Eigen::Vector3d& pivot, double cut_mm) {
  Normals sum;
  for (const Residual& r : all) {
    const double w = biweight(r.distance_mm, cut_mm);
    if (w > 0) sum.add(gradient(r, pivot), r.distance_mm, w);
  }
  return sum.completed();
}

double lever(const std::vector<Residual>& all, const Eigen::Vector3d& pivot) {
  double sum = 0;
  for (const Residual& r : all) sum += (r.at_mm - pivot).squaredNorm();
  return std::sqrt(sum / static_cast<double>(std::max<std::size_t>(all.size(), 1)));
}

// Directions the surface does not hold are left where they are: their eigenvalue stands for noise, not shape.
Vector6d damped_step(const Normals& sum, double lever_mm) {
  Vector6d unit;
  unit << Eigen::Vector3d::Constant(lever_mm), Eigen::Vector3d::Ones();
  const Matrix6d scaled = unit.cwiseInverse().asDiagonal() * sum.matrix * unit.cwiseInverse().asDiagonal();
  const Vector6d right = unit.cwiseInverse().asDiagonal() * sum.right;
  const Eigen::SelfAdjointEigenSolver<Matrix6d> axes(scaled);
  Vector6d step = Vector6d::Zero();
  for (Eigen::Index k = 0; k < 6; ++k) {
    if (axes.eigenvalues()[k] < 1e-9 * axes.eigenvalues()[5]) continue;
    step += axes.eigenvectors().col(k) * (axes.eigenvectors().col(k).dot(right) / axes.eigenvalues()[k]);
  }
  return unit.cwiseInverse().asDiagonal() * step;
}

std::uint64_t block_of(const Eigen::Vector3d& at, double side_mm) {
  const auto cell = [&](Eigen::Index k) {
    return static_cast<std::uint64_t>(static_cast<std::int64_t>(std::floor(at[k] / side_mm)) + (1 << 20)) &
           0x1fffffu;
  };
  return cell(0) << 42 | cell(1) << 21 | cell(2);
}

// Derivative of the biweight's psi(r) = r w(r).
double biweight_slope(double distance_mm, double cut_mm) {
  const double u = distance_mm / cut_mm;
  return std::abs(u) < 1 ? (1 - u * u) * (1 - 5 * u * u) : 0;
}

struct Sandwich {
  Matrix6d covariance;
  std::size_t blocks;
};

// Huber's sandwich for an M-estimate, A^-1 B A^-1, with the residuals of one block summed before they are
// squared.
Sandwich sandwich(const std::vector<Residual>& all, const Eigen::Vector3d& pivot, double cut_mm,
                  double block_mm) {
  std::unordered_map<std::uint64_t, std::size_t> number;
  std::vector<Vector6d> pull;
  Matrix6d bread = Matrix6d::Zero();
  for (const Residual& r : all) {
    const double w = biweight(r.distance_mm, cut_mm);
    if (w == 0) continue;
    const Vector6d j = gradient(r, pivot);
    bread.noalias() += biweight_slope(r.distance_mm, cut_mm) * j * j.transpose();
    const auto [at, fresh] = number.try_emplace(block_of(r.at_mm, block_mm), pull.size());
    if (fresh) pull.push_back(Vector6d::Zero());
    pull[at->second] += w * r.distance_mm * j;
  }
  Matrix6d meat = Matrix6d::Zero();
  for (const Vector6d& p : pull) meat.noalias() += p * p.transpose();
  // Six numbers were fitted to the blocks: the usual small-sample correction.
  const double blocks = static_cast<double>(pull.size());
  if (blocks > 6) meat *= blocks / (blocks - 6);
  const Eigen::LDLT<Matrix6d> solver(bread);
  return {solver.solve(solver.solve(meat).transpose()), pull.size()};
}

// How far noise and form reach that neighbours share is not known beforehand: blocks that are too small take
// shared noise for many independent looks and claim too much. Of several sizes the one that claims least is
// believed, as long as it leaves enough blocks to judge by.
void estimate_covariance(PoseFit& fit, const std::vector<Residual>& all, const Eigen::Vector3d& pivot,
                         double cut_mm, double smallest_block_mm) {
  constexpr std::size_t enough_blocks = 24;
  Vector6d unit;
  unit << Eigen::Vector3d::Constant(fit.lever_mm), Eigen::Vector3d::Ones();
  double most = -1;
  for (const double size : {1.0, 2.0, 4.0}) {
    const Sandwich found = sandwich(all, pivot, cut_mm, size * smallest_block_mm);
    const double spread = (unit.asDiagonal() * found.covariance * unit.asDiagonal()).trace();
    if (spread <= most || (size > 1 && found.blocks < enough_blocks)) continue;
    most = spread;
    fit.covariance = found.covariance;
    fit.blocks = found.blocks;
  }
}

}  // namespace

PoseFit fit_pose(const SurfaceIndex& surface, const HitFinder& find_hits, const PointCloud& points,
                 const RigidPose& start, const Eigen::Vector3d& pivot_mm, const FitSettings& settings) {
  constexpr double tukey = 4.685;
  PoseFit fit;
  fit.surface_from_points = start;
  std::vector<Residual> all;
  for (fit.iterations = 1;; ++fit.iterations) {
    all = residuals(surface, find_hits, points, fit.surface_from_points);
    fit.scale_mm = robust_scale(all, settings.widest_mm);
    fit.cut_mm = std::min(std::max(tukey * fit.scale_mm, settings.narrowest_mm), settings.widest_mm);
    fit.lever_mm = std::max(lever(all, pivot_mm), 1e-9);
    if (fit.iterations > settings.most_iterations) break;
    const Vector6d step = damped_step(normal_equations(all, pivot_mm, fit.cut_mm), fit.lever_mm);
    const RigidPose moved = small_motion(step.head<3>(), step.tail<3>(), pivot_mm);
    fit.surface_from_points = moved * fit.surface_from_points;
    fit.converged = step.head<3>().norm() * 2 * fit.lever_mm + step.tail<3>().norm() < settings.step_mm;
    if (fit.converged) {
      move(all, step, moved, pivot_mm);
      break;
    }
  }
  if (!settings.uncertainty) return fit;
  Vector6d unit;
  unit << Eigen::Vector3d::Constant(1 / fit.lever_mm), Eigen::Vector3d::Ones();
  fit.information =
      unit.asDiagonal() * normal_equations(all, pivot_mm, fit.cut_mm).matrix * unit.asDiagonal();
  for (const Residual& r : all) fit.points_used += biweight(r.distance_mm, fit.cut_mm) > 0;
  estimate_covariance(fit, all, pivot_mm, fit.cut_mm, settings.block_mm);
  return fit;
}

PoseFit fit_pose(const SurfaceIndex& surface, const PointCloud& points, const RigidPose& start,
                 const Eigen::Vector3d& pivot_mm, const FitSettings& settings) {
  const HitFinder exact = [&](const PointCloud& cloud, const RigidPose& pose) {
    return surface.closest(cloud, pose, settings.widest_mm);
  };
  return fit_pose(surface, exact, points, start, pivot_mm, settings);
}

HitFinder on_known_planes(const SurfaceIndex& surface, std::span<const std::uint32_t> triangle) {
  return [&surface, triangle](const PointCloud& points, const RigidPose& pose) {
    std::vector<SurfaceHit> hits(points.size());
    for (std::size_t i = 0; i < hits.size(); ++i)
      hits[i] = {static_cast<float>(surface.height_over(triangle[i], pose * points.point_mm(i))),
                 triangle[i]};
    return hits;
  };
}

void last_step(const SurfaceIndex& surface, const PointCloud& points, std::span<SurfaceHit> hits,
               RigidPose& surface_from_points, const Eigen::Vector3d& pivot_mm, double cut_mm) {
  const RigidPose arm_from_offset{surface_from_points.rotation,
                                  surface_from_points * points.origin_mm - pivot_mm};
  const auto gradient_of = [&](std::size_t i) {
    return gradient(arm_from_offset * points.offsets_mm[i].cast<double>(),
                    surface.triangle_normals()[hits[i].triangle].cast<double>());
  };
  // Sums over chunks of one size, added up in their order: the same whatever the number of threads.
  constexpr std::size_t chunk = 32768;
  // Where the pose goes is told by every point; how stiffly it is held, by one in sixteen as well. By the
  // slope of the weighted distance (Newton's step), since no second step will make good what weights alone
  // leave.
  const std::size_t matrix_stride = hits.size() > 200000 ? 16 : 1;
  std::vector<Normals> sums((hits.size() + chunk - 1) / chunk);
  tbb::parallel_for(std::size_t{0}, sums.size(), [&](std::size_t c) {
    Normals sum;
    for (std::size_t i = c * chunk; i < std::min((c + 1) * chunk, hits.size()); ++i) {
      const double w = biweight(hits[i].signed_mm, cut_mm);
      if (w == 0) continue;
      const Vector6d j = gradient_of(i);
      sum.right -= (w * hits[i].signed_mm) * j;
      if (i % matrix_stride == 0)
        sum.add_matrix(j, biweight_slope(hits[i].signed_mm, cut_mm) * static_cast<double>(matrix_stride));
    }
    sums[c] = sum;
  });
  Normals sum;
  for (const Normals& part : sums) sum += part;
  const double lever_mm = std::sqrt(sum.matrix.diagonal().head<3>().sum() /
                                    std::max(sum.matrix.diagonal().tail<3>().sum(), 1e-300));
  const Vector6d step = damped_step(sum.completed(), std::max(lever_mm, 1e-9));
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, hits.size(), chunk), [&](const auto& range) {
    for (std::size_t i = range.begin(); i != range.end(); ++i)
      hits[i].signed_mm += static_cast<float>(gradient_of(i).dot(step));
  });
  surface_from_points = small_motion(step.head<3>(), step.tail<3>(), pivot_mm) * surface_from_points;
}

}  // namespace boxfettle
