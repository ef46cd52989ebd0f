#include "reading/patches.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <functional>

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

void measure(Patch& patch, const SurfaceCells& cells, const CellReading& reading) {
  std::vector<std::uint32_t> deepest = patch.cells;
  std::stable_sort(deepest.begin(), deepest.end(), [&](std::uint32_t a, std::uint32_t b) {
    return std::abs(reading.mean_mm[a]) > std::abs(reading.mean_mm[b]);
  });
  for (const std::uint32_t c : patch.cells) {
    patch.area_mm2 += cells.area_mm2[c];
    patch.volume_mm3 += cells.area_mm2[c] * reading.mean_mm[c];
  }
  const std::size_t top = std::max<std::size_t>(1, patch.cells.size() * 3 / 100);
  double points = 0;
  for (std::size_t i = 0; i < top; ++i) {
    patch.depth_mm += static_cast<double>(reading.mean_mm[deepest[i]]) * reading.count[deepest[i]];
    points += reading.count[deepest[i]];
  }
  patch.depth_mm /= points;
  patch.peak_cell = deepest.front();
  patch.u95_mm =
      1.96 * std::sqrt(reading.noise_mm * reading.noise_mm / points + reading.drift_mm * reading.drift_mm);
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

std::vector<Patch> find_unseen(const SurfaceCells& cells, const CellReading& reading, double fewest_mm2) {
  std::vector<bool> taken(cells.size(), false);
  const auto blank = [&](std::uint32_t c) { return !reading.seen(c); };
  std::vector<Patch> patches;
  for (std::uint32_t c = 0; c < cells.size(); ++c) {
    if (taken[c] || !blank(c)) continue;
    Patch patch;
    patch.cells = spread(cells, c, taken, blank);
    patch.peak_cell = patch.cells[patch.cells.size() / 2];
    for (const std::uint32_t cell : patch.cells) patch.area_mm2 += cells.area_mm2[cell];
    if (patch.area_mm2 >= fewest_mm2) patches.push_back(std::move(patch));
  }
  std::stable_sort(patches.begin(), patches.end(),
                   [](const Patch& a, const Patch& b) { return a.area_mm2 > b.area_mm2; });
  return patches;
}

}  // namespace boxfettle
