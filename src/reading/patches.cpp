#include "reading/patches.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <functional>
#include <numbers>
#include <optional>

#include "reading/peak_depth.hpp"

namespace boxfettle {
namespace {

constexpr std::uint32_t fewest_points = 5;
constexpr double clearly_off = 2.5;  // standard errors for a neighbour to be taken in

double beyond_doubt(std::size_t cells, double false_alarm) {
  const boost::math::normal standard;
  return boost::math::quantile(
      boost::math::complement(standard, 0.5 * false_alarm / static_cast<double>(cells)));
}

// The cells reachable from `start` through cells that `belongs` accepts; marks them taken.
std::vector<std::uint32_t> spread(const SurfaceCells& cells, std::uint32_t start, std::vector<bool>& taken,
                                  const std::function<bool(std::uint32_t)>& belongs) {
  std::vector<std::uint32_t> reached{start};
  taken[start] = true;
  for (std::size_t i = 0; i < reached.size(); ++i)
    for (const std::uint32_t next : cells.neighbours[reached[i]])
      if (!taken[next] && belongs(next)) {
        taken[next] = true;
        reached.push_back(next);
      }
  return reached;
}

// How much deeper the peak may be than the mean of its cell: about half of what the cells beside it fall
// short.
double bluntness_mm(std::uint32_t peak, const SurfaceCells& cells, const CellReading& reading) {
  double sum = 0, count = 0;
  for (const std::uint32_t beside : cells.neighbours[peak])
    if (reading.count[beside] >= fewest_points) {
      sum += reading.mean_mm[beside];
      ++count;
    }
  return count > 0 ? 0.5 * std::abs(reading.mean_mm[peak] - sum / count) : 0;
}

void measure(Patch& patch, const SurfaceCells& cells, const CellReading& reading) {
  for (const std::uint32_t c : patch.cells) {
    patch.area_mm2 += cells.area_mm2[c];
    patch.volume_mm3 += cells.area_mm2[c] * reading.mean_mm[c];
  }
  patch.peak_cell =
      *std::max_element(patch.cells.begin(), patch.cells.end(), [&](std::uint32_t a, std::uint32_t b) {
        return std::abs(reading.mean_mm[a]) < std::abs(reading.mean_mm[b]);
      });
  patch.where_mm = cells.centre_mm[patch.peak_cell];
  patch.depth_mm = reading.mean_mm[patch.peak_cell];
  patch.u95_mm = std::hypot(1.96 * reading.standard_error_mm(patch.peak_cell),
                            bluntness_mm(patch.peak_cell, cells, reading));
}

// Without strays, that is without points that disagree with the cell about them.
std::vector<PatchPoint> points_of(const Patch& patch, const SurfaceCells& cells, const CellReading& reading,
                                  const PointReading& points) {
  std::vector<bool> in(cells.size(), false);
  for (const std::uint32_t c : patch.cells) in[c] = true;
  const double stray_mm = 5 * reading.noise_mm;
  std::vector<PatchPoint> of_patch;
  for (std::size_t i = 0; i < points.hits.size(); ++i) {
    const std::uint32_t c = cells.cell_of_triangle[points.hits[i].triangle];
    if (in[c] && std::abs(points.hits[i].signed_mm - reading.mean_mm[c]) <= stray_mm)
      of_patch.push_back({points.at_mm(i), points.hits[i].signed_mm});
  }
  return of_patch;
}

std::vector<PatchPoint> within(const std::vector<PatchPoint>& points, const Eigen::Vector3d& centre_mm,
                               double radius_mm) {
  std::vector<PatchPoint> near;
  for (const PatchPoint& p : points)
    if ((p.at_mm - centre_mm).norm() < radius_mm) near.push_back(p);
  return near;
}

// The depth seen over `radius_mm`, or over less as long as a closer look says otherwise: a peak that is
// sharper than a quadric is blunted by a wide one. After Lepski, "On a problem of adaptive estimation in
// Gaussian white noise", Theory of Probability and its Applications 35 (1991). What blunts a look goes with
// the fourth power of its radius, so what the next look says otherwise is a share of 1 - 0.7^4 of it; that
// stays in the doubt.
template <typename Look>
std::optional<PeakDepth> look_closer(const Look& look, const Eigen::Vector3d& start_mm, double radius_mm) {
  constexpr double closer = 0.7, told_of_blunting = 1 - closer * closer * closer * closer;
  constexpr double otherwise = 0.6;  // of what chance alone would make of it: rather too noisy than blunt
  std::optional<PeakDepth> seen = look(start_mm, radius_mm);
  if (!seen) return std::nullopt;
  for (;;) {
    radius_mm *= closer;
    const std::optional<PeakDepth> next = look(seen->at_mm, radius_mm);
    if (!next) return seen;
    const double change_mm = std::abs(next->depth_mm - seen->depth_mm);
    const double chance_mm =
        std::sqrt(std::max(next->u95_mm * next->u95_mm - seen->u95_mm * seen->u95_mm, 0.0));
    if (change_mm < otherwise * chance_mm) {
      seen->u95_mm = std::hypot(seen->u95_mm, change_mm / told_of_blunting);
      return seen;
    }
    seen = next;
  }
}

}  // namespace

std::vector<Patch> find_patches(const SurfaceCells& cells, const CellReading& reading,
                                const PatchSettings& settings) {
  const double sure = beyond_doubt(cells.size(), settings.false_alarm);
  const auto off_by = [&](std::uint32_t c) {
    return std::abs(reading.mean_mm[c]) / reading.standard_error_mm(c);
  };
  std::vector<bool> taken(cells.size(), false);
  std::vector<Patch> patches;
  for (std::uint32_t c = 0; c < cells.size(); ++c) {
    if (taken[c] || reading.count[c] < fewest_points || std::abs(reading.mean_mm[c]) < settings.floor_mm ||
        off_by(c) < sure)
      continue;
    const bool outside = reading.mean_mm[c] > 0;
    Patch patch;
    patch.cells = spread(cells, c, taken, [&](std::uint32_t next) {
      return reading.count[next] >= fewest_points && (reading.mean_mm[next] > 0) == outside &&
             off_by(next) > clearly_off && std::abs(reading.mean_mm[next]) > 0.5 * settings.floor_mm;
    });
    measure(patch, cells, reading);
    patches.push_back(std::move(patch));
  }
  std::stable_sort(patches.begin(), patches.end(), [](const Patch& a, const Patch& b) {
    return std::abs(a.depth_mm) > std::abs(b.depth_mm);
  });
  return patches;
}

void sharpen(Patch& patch, const SurfaceCells& cells, const CellReading& reading,
             const PointReading& points) {
  constexpr double widest_look = 0.9;  // of the patch's radius; closer looks follow where the points allow
  constexpr int steps = 4;             // to the summit: the deepest cell may lie well beside it
  const double radius_mm = widest_look * std::sqrt(patch.area_mm2 / std::numbers::pi);
  const std::vector<PatchPoint> all = points_of(patch, cells, reading, points);
  Eigen::Vector3d start_mm = patch.where_mm;
  for (int step = 0; step < steps; ++step) {
    const auto nearer = toward_summit(within(all, start_mm, radius_mm), start_mm, radius_mm);
    if (!nearer) break;
    start_mm = *nearer;
  }
  const auto look = [&](const Eigen::Vector3d& at_mm, double within_mm) {
    return peak_depth(within(all, at_mm, within_mm), at_mm, within_mm, reading.noise_mm, reading.drift_mm);
  };
  const std::optional<PeakDepth> peak = look_closer(look, start_mm, radius_mm);
  if (!peak) return;
  patch.where_mm = peak->at_mm;
  patch.depth_mm = peak->depth_mm;
  patch.u95_mm = peak->u95_mm;
}

std::vector<Patch> find_unseen(const SurfaceCells& cells, const CellReading& reading, double fewest_mm2) {
  std::vector<bool> taken(cells.size(), false);
  const auto blank = [&](std::uint32_t c) { return !reading.seen[c]; };
  std::vector<Patch> patches;
  for (std::uint32_t c = 0; c < cells.size(); ++c) {
    if (taken[c] || !blank(c)) continue;
    Patch patch;
    patch.cells = spread(cells, c, taken, blank);
    patch.peak_cell = patch.cells[patch.cells.size() / 2];
    patch.where_mm = cells.centre_mm[patch.peak_cell];
    for (const std::uint32_t cell : patch.cells) patch.area_mm2 += cells.area_mm2[cell];
    if (patch.area_mm2 >= fewest_mm2) patches.push_back(std::move(patch));
  }
  std::stable_sort(patches.begin(), patches.end(),
                   [](const Patch& a, const Patch& b) { return a.area_mm2 > b.area_mm2; });
  return patches;
}

}  // namespace boxfettle
