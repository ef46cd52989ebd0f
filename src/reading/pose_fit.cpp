#include "reading/pose_fit.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/hit_motion.hpp"
#include "reading/ranked.hpp"

namespace boxfettle {
namespace {

// Near the surface the facet tells the direction better than the tiny offset does.
constexpr double offset_tells_direction_above_mm = 0.5;

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

Vector6d gradient(const LaidPoint& r, const Eigen::Vector3d& pivot) {
  return gradient(r.at_mm - pivot, r.direction);
}

// What a small step makes of the residuals, to first order: to look for the places anew would change them by
// its square only.
void move(std::vector<LaidPoint>& all, const Vector6d& step, const RigidPose& moved,
          const Eigen::Vector3d& pivot) {
  for (LaidPoint& r : all) {
    r.distance_mm += gradient(r, pivot).dot(step);
    r.at_mm = moved * r.at_mm;
  }
}

// 1.4826 * median |r|: about zero, since a pose that fits leaves as much outside as inside.
double robust_scale(const std::vector<LaidPoint>& all, double widest_mm) {
  std::vector<float> sizes;
  sizes.reserve(all.size());
  for (const LaidPoint& r : all)
    if (std::abs(r.distance_mm) <= widest_mm) sizes.push_back(static_cast<float>(std::abs(r.distance_mm)));
  return sizes.empty() ? widest_mm : 1.4826 * static_cast<double>(median(sizes));
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

Normals normal_equations(const std::vector<LaidPoint>& all, const Eigen::Vector3d& pivot, double cut_mm) {
  Normals sum;
  for (const LaidPoint& r : all) {
    const double w = biweight(r.distance_mm, cut_mm);
    if (w > 0) sum.add(gradient(r, pivot), r.distance_mm, w);
  }
  return sum.completed();
}

double lever(const std::vector<LaidPoint>& all, const Eigen::Vector3d& pivot) {
  double sum = 0;
  for (const LaidPoint& r : all) sum += (r.at_mm - pivot).squaredNorm();
  return std::sqrt(sum / static_cast<double>(std::max<std::size_t>(all.size(), 1)));
}

// Directions the surface does not hold are left where they are: their eigenvalue stands for noise, not shape,
// or is nought where no point has any weight.
Vector6d damped_step(const Normals& sum, double lever_mm) {
  Vector6d unit;
  unit << Eigen::Vector3d::Constant(lever_mm), Eigen::Vector3d::Ones();
  const Matrix6d scaled = unit.cwiseInverse().asDiagonal() * sum.matrix * unit.cwiseInverse().asDiagonal();
  const Vector6d right = unit.cwiseInverse().asDiagonal() * sum.right;
  const Eigen::SelfAdjointEigenSolver<Matrix6d> axes(scaled);
  Vector6d step = Vector6d::Zero();
  for (Eigen::Index k = 0; k < 6; ++k) {
    if (axes.eigenvalues()[k] <= 1e-9 * axes.eigenvalues()[5]) continue;
    step += axes.eigenvectors().col(k) * (axes.eigenvectors().col(k).dot(right) / axes.eigenvalues()[k]);
  }
  return unit.cwiseInverse().asDiagonal() * step;
}

// Derivative of the biweight's psi(r) = r w(r).
double biweight_slope(double distance_mm, double cut_mm) {
  const double u = distance_mm / cut_mm;
  return std::abs(u) < 1 ? (1 - u * u) * (1 - 5 * u * u) : 0;
}

// What the residuals of one block pull with together.
struct BlockPull {
  std::array<std::int32_t, 3> block;
  Vector6d pull;
};

void sort_by_block(std::vector<BlockPull>& pulls) {
  std::stable_sort(pulls.begin(), pulls.end(),
                   [](const BlockPull& a, const BlockPull& b) { return a.block < b.block; });
}

// One for each block, sorted by block: those of the same block are added up.
void join_alike(std::vector<BlockPull>& pulls) {
  sort_by_block(pulls);
  std::size_t kept = 0;
  for (std::size_t i = 1; i < pulls.size(); ++i)
    if (pulls[i].block == pulls[kept].block)
      pulls[kept].pull += pulls[i].pull;
    else
      pulls[++kept] = pulls[i];
  if (!pulls.empty()) pulls.resize(kept + 1);
}

std::vector<BlockPull> pulls_by_block(const std::vector<LaidPoint>& all, const Eigen::Vector3d& pivot,
                                      double cut_mm, double block_mm) {
  std::vector<BlockPull> pulls;
  for (const LaidPoint& r : all) {
    const double w = biweight(r.distance_mm, cut_mm);
    if (w == 0) continue;
    const Eigen::Vector3d at = r.at_mm / block_mm;
    const std::array<std::int32_t, 3> block{static_cast<std::int32_t>(std::floor(at[0])),
                                            static_cast<std::int32_t>(std::floor(at[1])),
                                            static_cast<std::int32_t>(std::floor(at[2]))};
    // Neighbours in the list mostly share a block.
    if (pulls.empty() || pulls.back().block != block) pulls.push_back({block, Vector6d::Zero()});
    pulls.back().pull += w * r.distance_mm * gradient(r, pivot);
  }
  join_alike(pulls);
  return pulls;
}

// Eight blocks become one of twice the side.
void double_blocks(std::vector<BlockPull>& pulls) {
  for (BlockPull& p : pulls)
    for (std::int32_t& k : p.block) k >>= 1;
  join_alike(pulls);
}

// Huber's sandwich for an M-estimate, A^-1 B A^-1, with the residuals of one block summed before they are
// squared. How far noise and form reach that neighbours share is not known beforehand: blocks that are too
// small take shared noise for many independent looks and claim too much. Of several sizes the one that claims
// least is believed, as long as it leaves enough blocks to judge by.
void estimate_covariance(PoseFit& fit, const std::vector<LaidPoint>& all, const Eigen::Vector3d& pivot,
                         double cut_mm, double smallest_block_mm) {
  constexpr std::size_t enough_blocks = 24;
  Normals bread;
  for (const LaidPoint& r : all)
    if (const double slope = biweight_slope(r.distance_mm, cut_mm); slope != 0)
      bread.add_matrix(gradient(r, pivot), slope);
  const Eigen::LDLT<Matrix6d> solver(bread.completed().matrix);
  std::vector<BlockPull> pulls = pulls_by_block(all, pivot, cut_mm, smallest_block_mm);
  Vector6d unit;
  unit << Eigen::Vector3d::Constant(fit.lever_mm), Eigen::Vector3d::Ones();
  double most = -1;
  for (int size = 0; size < 3; ++size) {
    if (size > 0) double_blocks(pulls);
    Matrix6d meat = Matrix6d::Zero();
    for (const BlockPull& p : pulls) meat.noalias() += p.pull * p.pull.transpose();
    // Six numbers were fitted to the blocks: the usual small-sample correction.
    const double blocks = static_cast<double>(pulls.size());
    if (blocks > 6) meat *= blocks / (blocks - 6);
    const Matrix6d covariance = solver.solve(solver.solve(meat).transpose());
    const double spread = (unit.asDiagonal() * covariance * unit.asDiagonal()).trace();
    if (spread <= most || (size > 0 && pulls.size() < enough_blocks)) continue;
    most = spread;
    fit.covariance = covariance;
    fit.blocks = pulls.size();
  }
}

}  // namespace

PoseFit fit_pose(const PointLayer& lay, const PointCloud& points, const RigidPose& start,
                 const Eigen::Vector3d& pivot_mm, const FitSettings& settings, std::vector<LaidPoint>& all) {
  constexpr double tukey = 4.685;
  PoseFit fit;
  fit.surface_from_points = start;
  const auto weigh = [&] {
    fit.scale_mm = robust_scale(all, settings.widest_mm);
    fit.cut_mm = std::min(std::max(tukey * fit.scale_mm, settings.narrowest_mm), settings.widest_mm);
    fit.lever_mm = std::max(lever(all, pivot_mm), 1e-9);
  };
  // Returns how far the step moved any point, about.
  const auto take_step = [&] {
    const Vector6d step = damped_step(normal_equations(all, pivot_mm, fit.cut_mm), fit.lever_mm);
    const RigidPose moved = small_motion(step.head<3>(), step.tail<3>(), pivot_mm);
    fit.surface_from_points = moved * fit.surface_from_points;
    move(all, step, moved, pivot_mm);
    return step.head<3>().norm() * 2 * fit.lever_mm + step.tail<3>().norm();
  };
  for (fit.iterations = 1;; ++fit.iterations) {
    lay(points, fit.surface_from_points, all);
    weigh();
    if (fit.iterations > settings.most_iterations) break;
    double moved_mm = take_step();
    const bool as_laid = moved_mm < std::max(settings.lay_again_mm, settings.step_mm);
    for (int step = 1; step < settings.most_steps && moved_mm >= settings.step_mm; ++step) {
      weigh();
      moved_mm = take_step();
    }
    fit.converged = as_laid && moved_mm < settings.step_mm;
    if (fit.converged) break;
  }
  if (!settings.uncertainty) return fit;
  Vector6d unit;
  unit << Eigen::Vector3d::Constant(1 / fit.lever_mm), Eigen::Vector3d::Ones();
  fit.information =
      unit.asDiagonal() * normal_equations(all, pivot_mm, fit.cut_mm).matrix * unit.asDiagonal();
  for (const LaidPoint& r : all) fit.points_used += biweight(r.distance_mm, fit.cut_mm) > 0;
  estimate_covariance(fit, all, pivot_mm, fit.cut_mm, settings.block_mm);
  return fit;
}

PoseFit fit_pose(const PointLayer& lay, const PointCloud& points, const RigidPose& start,
                 const Eigen::Vector3d& pivot_mm, const FitSettings& settings) {
  std::vector<LaidPoint> laid;
  return fit_pose(lay, points, start, pivot_mm, settings, laid);
}

PoseFit fit_pose(const SurfaceIndex& surface, const PointCloud& points, const RigidPose& start,
                 const Eigen::Vector3d& pivot_mm, const FitSettings& settings) {
  return fit_pose(on_nearest_places(surface, settings.widest_mm), points, start, pivot_mm, settings);
}

LaidPoint laid_on(const SurfaceIndex& surface, std::uint32_t triangle, const Eigen::Vector3d& at_mm) {
  const Eigen::Vector3d away = at_mm - surface.nearest_on(triangle, at_mm);
  const double distance = away.norm();
  if (distance > offset_tells_direction_above_mm) return {distance, at_mm, away / distance};
  const Eigen::Vector3d normal = surface.triangle_normals()[triangle].cast<double>();
  return {std::copysign(distance, normal.dot(away)), at_mm, normal};
}

PointLayer on_nearest_places(const SurfaceIndex& surface, double reach_mm) {
  return [&surface, reach_mm](const PointCloud& points, const RigidPose& pose, std::vector<LaidPoint>& all) {
    const std::vector<SurfaceHit> hits = surface.closest(points, pose, reach_mm);
    all.resize(hits.size());
    for (std::size_t i = 0; i < hits.size(); ++i) {
      const Eigen::Vector3d at = pose * points.point_mm(i);
      const auto [distance, triangle] = hits[i];
      if (triangle == no_triangle)
        all[i] = {distance, at, Eigen::Vector3d::Zero()};
      else if (std::abs(distance) > offset_tells_direction_above_mm)
        all[i] = {distance, at,
                  (at - surface.nearest_on(triangle, at)).normalized() * (distance > 0 ? 1 : -1)};
      else
        all[i] = {distance, at, surface.triangle_normals()[triangle].cast<double>()};
    }
  };
}

PointLayer on_known_planes(const SurfaceIndex& surface, std::span<const SurfaceHit> hits,
                           const RigidPose& known_pose) {
  return [&surface, hits, known_pose](const PointCloud& points, const RigidPose& pose,
                                      std::vector<LaidPoint>& all) {
    all.resize(points.size());
    for (std::size_t i = 0; i < all.size(); ++i) {
      const Eigen::Vector3d point = points.point_mm(i), at = pose * point;
      const Eigen::Vector3d normal = surface.triangle_normals()[hits[i].triangle].cast<double>();
      all[i] = {hits[i].signed_mm + normal.dot(at - known_pose * point), at, normal};
    }
  };
}

void last_step(const SurfaceIndex& surface, const PointCloud& points, std::span<SurfaceHit> hits,
               RigidPose& surface_from_points, const Eigen::Vector3d& pivot_mm, double cut_mm) {
  const std::span<const Eigen::Vector3f> offsets = points.offsets_mm, normals = surface.triangle_normals();
  const Eigen::Matrix3d& turn = surface_from_points.rotation;
  const Eigen::Vector3d arm_of_origin = surface_from_points * points.origin_mm - pivot_mm;
  // Where the pose goes is told by every point; how stiffly it is held, by one in sixteen as well. By the
  // slope of the weighted distance (Newton's step), since no second step will make good what weights alone
  // leave.
  const std::size_t stride = hits.size() > 200000 ? 16 : 1;
  struct Part {
    Pull pull;
    Normals held;
  };
  // Sums over chunks of one size, added up in their order: the same whatever the number of threads.
  constexpr std::size_t chunk = 32768;
  std::vector<Part> parts((hits.size() + chunk - 1) / chunk);
  tbb::parallel_for(std::size_t{0}, parts.size(), [&](std::size_t c) {
    const std::size_t first = c * chunk, count = std::min(chunk, hits.size() - first);
    parts[c].pull = pull_of(hits.subspan(first, count), offsets.subspan(first, count), normals, cut_mm);
    for (std::size_t i = first; i < first + count; i += stride) {
      const Eigen::Vector3d arm = turn * offsets[i].cast<double>() + arm_of_origin;
      parts[c].held.add_matrix(gradient(arm, normals[hits[i].triangle].cast<double>()),
                               biweight_slope(hits[i].signed_mm, cut_mm) * static_cast<double>(stride));
    }
  });
  Normals sum;
  for (const Part& part : parts) {
    // The sum of (turn * offset + arm of the origin) x normal, from that of offset * normal^T.
    const Eigen::Matrix3d m = turn * part.pull.offset_normal_mm2;
    sum.right.head<3>() -= Eigen::Vector3d(m(1, 2) - m(2, 1), m(2, 0) - m(0, 2), m(0, 1) - m(1, 0)) +
                           arm_of_origin.cross(part.pull.normal_mm);
    sum.right.tail<3>() -= part.pull.normal_mm;
    sum += part.held;
  }
  const double turning = sum.matrix.diagonal().head<3>().sum(),
               shifting = sum.matrix.diagonal().tail<3>().sum();
  // The slope is below nought for points far off: where they prevail, no step is told.
  if (!(turning > 0 && shifting > 0)) return;
  const Vector6d step = damped_step(sum.completed(), std::sqrt(turning / shifting));
  Eigen::Matrix3d across;  // across * arm = turned by the step x arm
  across << 0, -step[2], step[1], step[2], 0, -step[0], -step[1], step[0], 0;
  const OffsetMotion motion{across * turn, across * arm_of_origin + step.tail<3>()};
  tbb::parallel_for(std::size_t{0}, parts.size(), [&](std::size_t c) {
    const std::size_t first = c * chunk, count = std::min(chunk, hits.size() - first);
    add_motion(hits.subspan(first, count), offsets.subspan(first, count), normals, motion);
  });
  surface_from_points = small_motion(step.head<3>(), step.tail<3>(), pivot_mm) * surface_from_points;
}

}  // namespace boxfettle
