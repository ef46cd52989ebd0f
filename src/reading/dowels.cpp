#include "reading/dowels.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <numbers>

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using std::numbers::pi;

constexpr double off_edge_mm = 1.0;   // chamfers and raised edges at the face and at the far end
constexpr double window_mm = 1.5;     // a wall is sought this near its place in the box file
constexpr double leans_above_mm = 4;  // walls lower than this do not tell a lean
constexpr std::size_t fewest_points = 40, fewest_blocks = 14;
constexpr double widest_unseen_rad = 150 * pi / 180;  // of the way round

DowelShape nominal(const Dowel& dowel, bool pin) {
  DowelShape shape;
  shape.at_mm = pin ? dowel.at_parting_mm : dowel.bush_at_parting_mm.value_or(dowel.at_parting_mm);
  shape.radius_mm = 0.5 * (pin ? dowel.pin_mm : dowel.bush_mm);
  if (pin || dowel.kind == Dowel::Bush::round) return shape;
  shape.axis_rad = std::atan2(dowel.slot_axis.y(), dowel.slot_axis.x());
  // A slot that never ends: its walls are taken over twice its width.
  shape.straight_mm = std::max(0.5 * (dowel.slot_length_mm.value_or(3 * dowel.bush_mm) - dowel.bush_mm), 0.0);
  return shape;
}

std::vector<WallPoint> walls(std::span<const WallPoint> points, const DowelShape& shape, bool pin) {
  std::vector<WallPoint> near;
  for (const WallPoint& p : points) {
    const double out = pin ? p.height_mm : -p.height_mm;
    if (out > off_edge_mm && std::abs(shape.distance_mm(p)) < window_mm) near.push_back(p);
  }
  if (near.empty()) return near;
  std::vector<double> heights;
  for (const WallPoint& p : near) heights.push_back(std::abs(p.height_mm));
  const auto top =
      heights.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(heights.size() - 1));
  std::nth_element(heights.begin(), top, heights.end());
  std::erase_if(near,
                [limit = *top - off_edge_mm](const WallPoint& p) { return std::abs(p.height_mm) > limit; });
  return near;
}

double height_range(std::span<const WallPoint> points) {
  const auto [low, high] =
      std::minmax_element(points.begin(), points.end(),
                          [](const WallPoint& a, const WallPoint& b) { return a.height_mm < b.height_mm; });
  return points.empty() ? 0 : high->height_mm - low->height_mm;
}

double widest_gap_rad(std::span<const WallPoint> points, const Vector2d& about) {
  std::vector<double> angles;
  for (const WallPoint& p : points) {
    const Vector2d from = p.at_mm - about;
    angles.push_back(std::atan2(from.y(), from.x()));
  }
  std::sort(angles.begin(), angles.end());
  double widest = angles.front() + 2 * pi - angles.back();
  for (std::size_t i = 1; i < angles.size(); ++i) widest = std::max(widest, angles[i] - angles[i - 1]);
  return widest;
}

// Metal over the face where the dowel should be, or a hole; by what there is more of.
bool is_pin(std::span<const WallPoint> points, const Dowel& dowel) {
  std::size_t above = 0, below = 0;
  const DowelShape pin = nominal(dowel, true), bore = nominal(dowel, false);
  for (const WallPoint& p : points) {
    above += p.height_mm > off_edge_mm && pin.distance_mm(p) < window_mm;
    below += p.height_mm < -off_edge_mm && bore.distance_mm(p) < window_mm;
  }
  return above > below;
}

// How far the cavity's own pose may carry a place along the face.
double carried_sd_mm(const PoseFit& cavity, const PartingFace& parting, const Vector2d& at,
                     const Eigen::Vector3d& pivot_mm) {
  double most = 0;
  for (const Eigen::Vector3d& way : {parting.x_axis, parting.y_axis}) {
    Vector6d carried;
    carried << (parting.at_design_mm(at) - pivot_mm).cross(way), way;
    most = std::max(most, carried.dot(cavity.covariance * carried));
  }
  return std::sqrt(most);
}

double at_sd_mm(const DowelFit& fit, const DowelReading& reading, bool along_told) {
  if (reading.kind == DowelKind::slot && !along_told) {
    const Vector2d across(-reading.slot_axis.y(), reading.slot_axis.x());
    return std::sqrt(std::max(across.dot(fit.at_covariance * across), 0.0));
  }
  return std::sqrt(
      std::max(Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d>(fit.at_covariance).eigenvalues()[1], 0.0));
}

DowelReading read_dowel(const Dowel& dowel, std::span<const WallPoint> points, const PartingFace& parting,
                        const PoseFit& cavity, const Eigen::Vector3d& pivot_mm) {
  const bool pin = is_pin(points, dowel);
  const bool slot = !pin && dowel.kind == Dowel::Bush::slot;
  const DowelShape start = nominal(dowel, pin);
  DowelReading reading;
  reading.id = dowel.id;
  reading.kind = pin ? DowelKind::pin : slot ? DowelKind::slot : DowelKind::bore;
  reading.nominal_mm = 2 * start.radius_mm;
  reading.at_parting_mm = start.at_mm;
  const std::vector<WallPoint> wall = walls(points, start, pin);
  if (wall.size() < fewest_points) {
    reading.why_not = wall.empty() ? "the scan shows neither a pin nor a bore there"
                                   : "the scan shows too little of its wall";
    return reading;
  }
  DowelFitSettings settings;
  settings.lean = height_range(wall) > leans_above_mm;
  settings.slot = slot;
  settings.ends = slot && dowel.slot_length_mm.has_value();
  const DowelFit fit = fit_dowel(wall, start, settings);
  if (!fit.converged || fit.blocks < fewest_blocks || fit.points_used < fewest_points ||
      widest_gap_rad(wall, fit.shape.at_mm) > widest_unseen_rad) {
    reading.why_not = "the scan shows its wall on one side only, or not steadily";
    return reading;
  }
  reading.told = true;
  reading.at_parting_mm = fit.shape.at_mm;
  reading.diameter_mm = 2 * fit.shape.radius_mm;
  reading.offset_mm = fit.shape.at_mm - start.at_mm;
  if (slot) {
    reading.slot_axis = {std::cos(fit.shape.axis_rad), std::sin(fit.shape.axis_rad)};
    const Vector2d across(-reading.slot_axis.y(), reading.slot_axis.x());
    reading.offset_mm = reading.offset_mm.dot(across) * across;
  }
  const double k = boost::math::quantile(boost::math::students_t(static_cast<double>(fit.blocks) - 7), 0.975);
  reading.at_u95_mm = k * std::hypot(at_sd_mm(fit, reading, settings.ends),
                                     carried_sd_mm(cavity, parting, fit.shape.at_mm, pivot_mm));
  reading.diameter_u95_mm = 2 * k * fit.radius_sd_mm;
  return reading;
}

}  // namespace

std::vector<DowelReading> read_dowels(const CoreBox& box, std::span<const WallPoint> points,
                                      const PoseFit& cavity, const Eigen::Vector3d& pivot_mm) {
  std::vector<DowelReading> readings;
  for (const Dowel& dowel : box.dowels) {
    const Vector2d at = dowel.at_parting_mm;
    const double reach =
        0.5 * std::max({dowel.pin_mm, dowel.bush_mm, dowel.slot_length_mm.value_or(3 * dowel.bush_mm)}) +
        window_mm + 2;
    std::vector<WallPoint> near;
    for (const WallPoint& p : points)
      if ((p.at_mm - at).norm() < reach) near.push_back(p);
    readings.push_back(read_dowel(dowel, near, box.parting, cavity, pivot_mm));
  }
  return readings;
}

}  // namespace boxfettle
