// The pose that lays given points on a surface, with what is known of its uncertainty.
//
// Gauss-Newton on the distances along the surface normal (point to plane), each point weighted by Tukey's
// biweight so that wear, build-up and stray points do not pull. Beaton and Tukey, Technometrics 16 (1974): c
// = 4.685 for 95 % efficiency on normal noise; the scale is the median absolute deviation times 1.4826.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "geometry/closest_point.hpp"
#include "geometry/point_cloud.hpp"
#include "geometry/rigid_pose.hpp"

namespace boxfettle {

using Matrix6d = Eigen::Matrix<double, 6, 6>;
using Vector6d = Eigen::Matrix<double, 6, 1>;

struct FitSettings {
  int most_iterations = 30;  // each lays the points anew
  int most_steps = 1;        // in one iteration, on the planes of the places found
  double step_mm =
      1e-3;  // done when no point moves further than this in one step (the next would be its square)
  double lay_again_mm = 0;  // laid points that first move less stay on their planes: it ends with these steps
  double widest_mm = 1e300;    // points farther away than this never count
  double narrowest_mm = 0.02;  // the biweight's scale c is never taken below this
  double block_mm = 12;  // residuals closer together than this, or two or four times it where the data show
                         // that noise is shared so far, are not taken as independent
  bool uncertainty =
      true;  // whether covariance, information and points_used are wanted: a search does without
};

// A point as a pose lays it on a surface.
struct LaidPoint {
  double distance_mm;         // signed; infinite when nothing was within reach, which no weight survives
  Eigen::Vector3d at_mm;      // in the surface's frame
  Eigen::Vector3d direction;  // unit, in which the distance grows; zero when nothing was within reach
};

// Lays every point by a pose: exactly, as below, or some quicker way. The list is used again and again.
using PointLayer = std::function<void(const PointCloud&, const RigidPose&, std::vector<LaidPoint>&)>;

struct PoseFit {
  RigidPose surface_from_points;
  // Of (rotation vector in rad, shift in mm) about `pivot_mm`, from residuals summed over blocks (a sandwich
  // estimate: noise and form that neighbours share count once, not per point).
  Matrix6d covariance = Matrix6d::Zero();
  Matrix6d information = Matrix6d::Zero();  // sum of w J J^T about the pivot, rotations scaled by `lever_mm`
  double lever_mm = 1;                      // root mean square distance of the points from the pivot
  double scale_mm = 0;                      // robust standard deviation of the residuals
  double cut_mm = 0;                        // residuals beyond this had no weight
  std::size_t blocks = 0;
  std::size_t points_used = 0;
  int iterations = 0;
  bool converged = false;
};

// `points` are best in Morton order.
PoseFit fit_pose(const SurfaceIndex& surface, const PointCloud& points, const RigidPose& start,
                 const Eigen::Vector3d& pivot_mm, const FitSettings& settings = {});
PoseFit fit_pose(const PointLayer& lay, const PointCloud& points, const RigidPose& start,
                 const Eigen::Vector3d& pivot_mm, const FitSettings& settings = {});
// The same; `laid` then holds the points as the pose found lays them, what its last step did to first order.
PoseFit fit_pose(const PointLayer& lay, const PointCloud& points, const RigidPose& start,
                 const Eigen::Vector3d& pivot_mm, const FitSettings& settings, std::vector<LaidPoint>& laid);

// A point whose place is on a known triangle.
LaidPoint laid_on(const SurfaceIndex& surface, std::uint32_t triangle, const Eigen::Vector3d& at_mm);

// Every point at its nearest place; nothing further off than `reach_mm`.
PointLayer on_nearest_places(const SurfaceIndex& surface, double reach_mm);

// Every point over the triangle it met when it was laid by `known_pose`, nearer or further by its motion
// along the normal: right to a few thousandths of a millimetre after a move of some tenths, and many times
// quicker than to seek it anew. `hits[i]` belongs to the i-th point and has a triangle.
PointLayer on_known_planes(const SurfaceIndex& surface, std::span<const SurfaceHit> hits,
                           const RigidPose& known_pose);

// One more step of the same kind from points whose places are known already, as many as there are. `cut_mm`
// is where the biweight ends. Moves the pose, and the distances with it to first order: the step is small.
void last_step(const SurfaceIndex& surface, const PointCloud& points, std::span<SurfaceHit> hits,
               RigidPose& surface_from_points, const Eigen::Vector3d& pivot_mm, double cut_mm);

}  // namespace boxfettle
