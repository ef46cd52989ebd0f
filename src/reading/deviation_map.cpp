#include "reading/deviation_map.hpp"

#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "reading/ranked.hpp"

namespace boxfettle {
namespace {

void set_percentiles(Deviation& d, std::span<const float> values) {
  const auto rank = [&](double share) {
    return static_cast<std::size_t>(share * static_cast<double>(values.size() - 1));
  };
  const std::vector<float> at = of_ranks(values, std::array{rank(0.05), rank(0.50), rank(0.95)});
  d.p05_mm = at[0];
  d.p50_mm = at[1];
  d.p95_mm = at[2];
}

// Written to whether it counts or not: a branch would be taken nearly always, but not so that it is free.
std::vector<float> within_reach(std::span<const SurfaceHit> hits, double reach_mm) {
  std::vector<float> taken(hits.size());
  std::size_t count = 0;
  for (const SurfaceHit& hit : hits) {
    taken[count] = hit.signed_mm;
    count += std::abs(hit.signed_mm) <= static_cast<float>(reach_mm);
  }
  taken.resize(count);
  return taken;
}

void set_moments(Deviation& d, std::span<const float> values, double limit_mm) {
  constexpr std::size_t run = 4096;  // summed in registers
  double sum = 0, squares = 0, within = 0;
  for (std::size_t first = 0; first < values.size(); first += run) {
    const Eigen::Map<const Eigen::ArrayXf> part(
        &values[first], static_cast<Eigen::Index>(std::min(run, values.size() - first)));
    sum += part.cast<double>().sum();
    squares += part.cast<double>().square().sum();
    within += static_cast<double>((part.cast<double>().abs() <= limit_mm).count());
  }
  const double n = static_cast<double>(values.size());
  d.mean_mm = sum / n;
  d.sd_mm = std::sqrt(std::max(squares / n - d.mean_mm * d.mean_mm, 0.0));
  d.within_limit_fraction = within / n;
}

}  // namespace

Deviation deviation_figures(std::span<const SurfaceHit> hits, const SurfaceCells& cells,
                            const CellReading& total, double reach_mm, double limit_mm) {
  Deviation d;
  const std::vector<float> taken = within_reach(hits, reach_mm);
  double seen = 0, area = 0;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    area += cells.area_mm2[c];
    if (total.seen[c]) seen += cells.area_mm2[c];
  }
  d.coverage_fraction = seen / area;
  if (taken.empty()) return d;
  set_moments(d, taken, limit_mm);
  set_percentiles(d, taken);
  return d;
}

std::vector<float> vertex_deviations(std::span<const SurfaceHit> hits, const TriangleMesh& mesh,
                                     const SurfaceCells& cells, const CellReading& total, double reach_mm) {
  constexpr std::uint32_t enough = 3;
  struct Told {
    float sum_mm = 0;
    std::uint32_t count = 0, cell = 0;
  };
  std::vector<Told> triangles(mesh.triangles.size());
  // A stray point inside the reach must not paint a speck: only what agrees with the cell about it is shown.
  const double agree_mm = 5 * total.noise_mm + 0.05;
  for (const SurfaceHit& hit : hits) {
    if (std::abs(hit.signed_mm) > static_cast<float>(reach_mm)) continue;
    const float cell_mean = total.mean_mm[cells.cell_of_triangle[hit.triangle]];
    if (std::abs(hit.signed_mm - cell_mean) > static_cast<float>(agree_mm)) continue;
    triangles[hit.triangle].sum_mm += hit.signed_mm;
    ++triangles[hit.triangle].count;
  }
  std::vector<Told> vertices(mesh.vertices.size());
  for (std::size_t t = 0; t < triangles.size(); ++t)
    for (const std::uint32_t v : mesh.triangles[t]) {
      vertices[v].sum_mm += triangles[t].sum_mm;
      vertices[v].count += triangles[t].count;
      vertices[v].cell = cells.cell_of_triangle[t];
    }
  std::vector<float> mean;
  mean.reserve(vertices.size());
  for (const Told& v : vertices)
    mean.push_back(!total.seen[v.cell] ? std::numeric_limits<float>::quiet_NaN()
                   : v.count >= enough ? v.sum_mm / static_cast<float>(v.count)
                                       : total.mean_mm[v.cell]);
  return mean;
}

}  // namespace boxfettle
