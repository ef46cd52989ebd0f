#include "reading/deviation_map.hpp"

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

}  // namespace

Deviation deviation_figures(std::span<const SurfaceHit> hits, const SurfaceCells& cells,
                            const CellReading& total, double reach_mm, double limit_mm) {
  Deviation d;
  std::vector<float> taken;
  taken.reserve(hits.size());
  double sum = 0, squares = 0, within = 0;
  for (const SurfaceHit& hit : hits) {
    if (std::abs(hit.signed_mm) > static_cast<float>(reach_mm)) continue;
    const double v = hit.signed_mm;
    taken.push_back(hit.signed_mm);
    sum += v;
    squares += v * v;
    within += std::abs(v) <= limit_mm;
  }
  double seen = 0, area = 0;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    area += cells.area_mm2[c];
    if (total.seen[c]) seen += cells.area_mm2[c];
  }
  d.coverage_fraction = seen / area;
  if (taken.empty()) return d;
  const double n = static_cast<double>(taken.size());
  d.mean_mm = sum / n;
  d.sd_mm = std::sqrt(std::max(squares / n - d.mean_mm * d.mean_mm, 0.0));
  d.within_limit_fraction = within / n;
  set_percentiles(d, taken);
  return d;
}

std::vector<float> vertex_deviations(std::span<const SurfaceHit> hits, const TriangleMesh& mesh,
                                     const SurfaceCells& cells, const CellReading& total, double reach_mm) {
  constexpr std::uint32_t enough = 3;
  struct Vertex {
    float sum_mm = 0;
    std::uint32_t count = 0, cell = 0;
  };
  std::vector<Vertex> vertices(mesh.vertices.size());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (const std::uint32_t v : mesh.triangles[t]) vertices[v].cell = cells.cell_of_triangle[t];
  // A stray point inside the reach must not paint a speck: only what agrees with the cell about it is shown.
  const double agree_mm = 5 * total.noise_mm + 0.05;
  for (const SurfaceHit& hit : hits) {
    if (std::abs(hit.signed_mm) > static_cast<float>(reach_mm)) continue;
    const float cell_mean = total.mean_mm[cells.cell_of_triangle[hit.triangle]];
    if (std::abs(hit.signed_mm - cell_mean) > static_cast<float>(agree_mm)) continue;
    for (const std::uint32_t v : mesh.triangles[hit.triangle]) {
      vertices[v].sum_mm += hit.signed_mm;
      ++vertices[v].count;
    }
  }
  std::vector<float> mean;
  mean.reserve(vertices.size());
  for (const Vertex& v : vertices)
    mean.push_back(!total.seen[v.cell] ? std::numeric_limits<float>::quiet_NaN()
                   : v.count >= enough ? v.sum_mm / static_cast<float>(v.count)
                                       : total.mean_mm[v.cell]);
  return mean;
}

}  // namespace boxfettle
