#include "demo/synthetic_scan.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "demo/dice.hpp"
#include "demo/faulty_core.hpp"

namespace boxfettle::demo {
namespace {

using Eigen::Vector3d;

// Each purpose draws from its own stream, so that one setting changed leaves the other draws as they were.
// The points' streams follow, one for each batch: batches may then be made in any order.
enum Stream : std::uint64_t {
  pose_draws,
  unseen_draws,
  outlier_draws,
  side_draws,
  table_draws,
  wave_draws,
  first_batch
};
constexpr std::size_t batch_points = 4096;

constexpr double table_share = 0.15;  // of the scanner's points, added
constexpr double outlier_room = 1.5;  // of the part's own box
constexpr double travel_mm = 300;

// Noise that neighbouring points share: a sum of waves in all directions whose lengths follow a normal law,
// so that the correlation falls with distance d as exp(-d^2 / (2 L^2)).
class SharedNoise {
 public:
  explicit SharedNoise(const Scanner& scanner) {
    if (!(scanner.noise_correlation_mm > 0) || scanner.correlated_noise_mm == 0) return;
    Dice dice(scanner.seed, wave_draws);
    amplitude_mm_ = scanner.correlated_noise_mm * std::sqrt(2.0 / waves);
    for (int i = 0; i < waves; ++i) {
      const Vector3d wave(dice.normal(), dice.normal(), dice.normal());
      waves_.push_back({wave / scanner.noise_correlation_mm, dice.uniform(0, 2 * std::numbers::pi)});
    }
  }
  double at(const Vector3d& design_mm) const {
    double sum = 0;
    for (const Wave& wave : waves_) sum += std::cos(wave.per_mm.dot(design_mm) + wave.phase);
    return amplitude_mm_ * sum;
  }

 private:
  static constexpr int waves = 48;
  struct Wave {
    Vector3d per_mm;
    double phase;
  };
  double amplitude_mm_ = 0;
  std::vector<Wave> waves_;
};

std::vector<double> area_up_to(const TriangleMesh& mesh) {
  std::vector<double> total(mesh.triangles.size());
  double sum = 0;
  for (std::size_t t = 0; t < total.size(); ++t) total[t] = sum += doubled_area_vector(mesh, t).norm();
  return total;
}

SurfacePoint point_of_triangle(const TriangleMesh& mesh, std::size_t t, Dice& dice) {
  double u = dice.uniform(), v = dice.uniform();
  if (u + v > 1) {
    u = 1 - u;
    v = 1 - v;
  }
  const Vector3d &a = mesh.corner(t, 0), &b = mesh.corner(t, 1), &c = mesh.corner(t, 2);
  return {a + u * (b - a) + v * (c - a), doubled_area_vector(mesh, t).normalized()};
}

// Even over the area: the area is cut into as many equal shares as there are points, and each share gets one.
std::vector<SurfacePoint> measured_points(const TriangleMesh& design, const FaultyCore& core,
                                          const Scanner& scanner, std::size_t count) {
  const std::vector<double> area = area_up_to(design);
  const SharedNoise shared(scanner);
  std::vector<SurfacePoint> points(count);
  tbb::parallel_for(std::size_t{0}, (count + batch_points - 1) / batch_points, [&](std::size_t batch) {
    Dice dice(scanner.seed, first_batch + batch);
    const std::size_t end = std::min(count, (batch + 1) * batch_points);
    for (std::size_t i = batch * batch_points; i < end; ++i) {
      const double share = (static_cast<double>(i) + dice.uniform()) / static_cast<double>(count);
      const auto at = std::upper_bound(area.begin(), area.end() - 1, share * area.back());
      const auto t = static_cast<std::size_t>(at - area.begin());
      const SurfacePoint on_design = point_of_triangle(design, t, dice);
      points[i] = core.shot(on_design, t, scanner.noise_mm * dice.normal() + shared.at(on_design.at_mm));
    }
  });
  return points;
}

Bounds bounds_of(const std::vector<SurfacePoint>& points) {
  Bounds box;
  for (const SurfacePoint& point : points) box.include(point.at_mm);
  return box;
}

// A core on a table rests on its flats, and those stand square to the design's axes, give or take a little.
Vector3d down_onto_table(std::uint64_t seed) {
  Dice dice(seed, side_draws);
  const std::uint64_t side = dice.below(6);
  const Vector3d square = (side % 2 == 0 ? 1.0 : -1.0) * Vector3d::Unit(static_cast<int>(side / 2));
  return (square + 0.05 * dice.direction()).normalized();
}

// Removes the part of the surface that faces `away` first, furthest out first; then what lies furthest that
// way.
void cut_away(std::vector<SurfacePoint>& points, const Vector3d& away, double fraction) {
  const auto unseen = static_cast<std::size_t>(std::lround(fraction * static_cast<double>(points.size())));
  if (unseen == 0) return;
  const Bounds box = bounds_of(points);
  const auto hidden = [&](const SurfacePoint& point) {
    return (point.at_mm - box.centre()).dot(away) / box.diagonal() + (point.normal.dot(away) > 0.1 ? 1 : 0);
  };
  std::vector<double> order(points.size());
  std::transform(points.begin(), points.end(), order.begin(), hidden);
  std::vector<double> ranked = order;
  std::nth_element(ranked.begin(), ranked.end() - static_cast<std::ptrdiff_t>(unseen), ranked.end());
  const double first_hidden = ranked[points.size() - unseen];
  std::size_t kept = 0;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (order[i] < first_hidden) points[kept++] = points[i];
  points.resize(kept);
}

void add_outliers(std::vector<SurfacePoint>& points, const Bounds& part, std::size_t count,
                  std::uint64_t seed) {
  Dice dice(seed, outlier_draws);
  for (std::size_t i = 0; i < count; ++i) {
    Vector3d at_mm = part.centre();
    for (int axis = 0; axis < 3; ++axis)
      at_mm[axis] += 0.5 * outlier_room * (part.high - part.low)[axis] * dice.uniform(-1, 1);
    points.push_back({at_mm, dice.direction()});
  }
}

// A round stretch of table that just touches the part, wider than it.
void add_table(std::vector<SurfacePoint>& points, const Bounds& part, const Vector3d& down,
               double touching_mm, const Scanner& scanner) {
  const Vector3d side = down.unitOrthogonal(), across = down.cross(side);
  const Vector3d middle = part.centre() + (touching_mm - down.dot(part.centre())) * down;
  const auto count = static_cast<std::size_t>(std::lround(table_share * static_cast<double>(scanner.points)));
  Dice dice(scanner.seed, table_draws);
  for (std::size_t i = 0; i < count; ++i) {
    const double reach = 0.6 * part.diagonal() * std::sqrt(dice.uniform());
    const double angle = dice.uniform(0, 2 * std::numbers::pi);
    points.push_back({middle + reach * (std::cos(angle) * side + std::sin(angle) * across) +
                          scanner.noise_mm * dice.normal() * down,
                      -down});
  }
}

RigidPose pose_in_scanner(const Scanner& scanner) {
  if (!scanner.arbitrary_pose) return {};
  Dice dice(scanner.seed, pose_draws);
  RigidPose pose;
  pose.rotation = dice.rotation();
  for (int axis = 0; axis < 3; ++axis) pose.translation_mm[axis] = dice.uniform(-travel_mm, travel_mm);
  return pose;
}

PointCloud cloud_of(const std::vector<SurfacePoint>& points, const RigidPose& scan_from_design,
                    const Bounds& part, bool normals) {
  PointCloud cloud;
  cloud.origin_mm = scan_from_design * part.centre();
  cloud.offsets_mm.resize(points.size());
  if (normals) cloud.normals.resize(points.size());
  tbb::parallel_for(std::size_t{0}, points.size(), [&](std::size_t i) {
    cloud.offsets_mm[i] = (scan_from_design.rotation * (points[i].at_mm - part.centre())).cast<float>();
    if (normals) cloud.normals[i] = (scan_from_design.rotation * points[i].normal).cast<float>();
  });
  return cloud;
}

double furthest_mm(const std::vector<SurfacePoint>& points, const Vector3d& way) {
  double furthest = -1e300;
  for (const SurfacePoint& point : points) furthest = std::max(furthest, way.dot(point.at_mm));
  return furthest;
}

}  // namespace

SyntheticScan scan_core(const TriangleMesh& design, const PartingFace& parting, const BoxFaults& faults,
                        const Scanner& scanner) {
  const auto outliers =
      static_cast<std::size_t>(std::lround(scanner.outlier_fraction * static_cast<double>(scanner.points)));
  const FaultyCore core(design, parting, faults);
  std::vector<SurfacePoint> points = measured_points(design, core, scanner, scanner.points - outliers);

  const Bounds part = bounds_of(points);
  const Vector3d down = down_onto_table(scanner.seed);
  const double touching_mm = furthest_mm(points, down);
  // The scanner cannot see the side that lies on the table.
  cut_away(points, scanner.table ? down : Dice(scanner.seed, unseen_draws).direction(),
           scanner.unseen_fraction);
  add_outliers(points, part, outliers, scanner.seed);
  if (scanner.table) add_table(points, part, down, touching_mm, scanner);

  const RigidPose scan_from_design = pose_in_scanner(scanner);
  return {cloud_of(points, scan_from_design, part, scanner.normals), scan_from_design};
}

}  // namespace boxfettle::demo
