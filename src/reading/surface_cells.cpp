#include "reading/surface_cells.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>
#include <tbb/parallel_invoke.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <unordered_set>
#include <utility>

#include "geometry/vector_sort.hpp"
#include "reading/ranked.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t fewest_points = 5;  // that a cell needs to speak of noise and drift

// The cube of the cell's side in which a triangle's middle lies, and which way it faces.
std::uint64_t cube_and_facing(const DesignSurface& design, std::size_t triangle, double side_mm) {
  const Eigen::Vector3d at = (centre(design.mesh(), triangle) - design.bounds().low) * (1 / side_mm);
  const Eigen::Vector3f normal = design.index().triangle_normals()[triangle];
  Eigen::Index axis = 0;
  normal.cwiseAbs().maxCoeff(&axis);
  auto key = static_cast<std::uint64_t>(2 * axis + (normal[axis] < 0));
  for (Eigen::Index k = 0; k < 3; ++k) key = key << 20 | (static_cast<std::uint64_t>(at[k]) & 0xfffffu);
  return key;
}

// One triangle of each cube and facing, from which a cell grows.
std::vector<std::uint32_t> seeds(const DesignSurface& design, double side_mm) {
  std::vector<std::uint64_t> keys(design.mesh().triangles.size());
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, keys.size(), 4096), [&](const auto& range) {
    for (std::size_t t = range.begin(); t != range.end(); ++t) keys[t] = cube_and_facing(design, t, side_mm);
  });
  std::unordered_set<std::uint64_t> taken;
  std::vector<std::uint32_t> chosen;
  std::uint64_t last = ~std::uint64_t{0};  // neighbours in the list are mostly neighbours in space
  for (std::uint32_t t = 0; t < keys.size(); ++t) {
    if (keys[t] == last) continue;
    last = keys[t];
    if (taken.insert(last).second) chosen.push_back(t);
  }
  return chosen;
}

// The cells in `ring` spread at once, one ring of triangles at a time, until they meet.
void spread(std::vector<std::uint32_t>& cell_of_triangle, const MeshTopology& topology,
            std::vector<std::uint32_t> ring) {
  std::vector<std::uint32_t> next;
  while (!ring.empty()) {
    next.clear();
    for (const std::uint32_t t : ring)
      for (const std::uint32_t neighbour : topology.neighbours[t]) {
        if (neighbour == no_triangle || cell_of_triangle[neighbour] != no_triangle) continue;
        cell_of_triangle[neighbour] = cell_of_triangle[t];
        next.push_back(neighbour);
      }
    ring.swap(next);
  }
}

// Every triangle in a cell; returns how many cells. A shell so small that it shares all cubes with others has
// no seed of its own: it becomes a cell.
std::size_t grow(std::vector<std::uint32_t>& cell_of_triangle, const DesignSurface& design,
                 const std::vector<std::uint32_t>& from) {
  const MeshTopology& topology = design.index().topology();
  cell_of_triangle.assign(design.mesh().triangles.size(), no_triangle);
  auto cells = static_cast<std::uint32_t>(from.size());
  for (std::uint32_t c = 0; c < cells; ++c) cell_of_triangle[from[c]] = c;
  spread(cell_of_triangle, topology, from);
  for (std::uint32_t t = 0; t < cell_of_triangle.size(); ++t) {
    if (cell_of_triangle[t] != no_triangle) continue;
    cell_of_triangle[t] = cells++;
    spread(cell_of_triangle, topology, {t});
  }
  return cells;
}

// Cells that share an edge, each pair once and sorted: the lower number in the upper half.
std::vector<std::uint64_t> pairs_beside(const SurfaceCells& cells, const MeshTopology& topology) {
  std::vector<std::uint64_t> pairs;
  pairs.reserve(cells.cell_of_triangle.size() / 2);
  for (std::size_t t = 0; t < cells.cell_of_triangle.size(); ++t) {
    const std::uint64_t c = cells.cell_of_triangle[t];
    for (const std::uint32_t neighbour : topology.neighbours[t])
      if (neighbour != no_triangle && cells.cell_of_triangle[neighbour] > c)
        pairs.push_back(c << 32 | cells.cell_of_triangle[neighbour]);
  }
  sort_ascending(pairs);
  pairs.erase(std::unique(pairs.begin(), pairs.end()), pairs.end());
  return pairs;
}

void set_places(SurfaceCells& cells, const DesignSurface& design, std::size_t count) {
  cells.area_mm2.assign(count, 0);
  cells.centre_mm.assign(count, Eigen::Vector3d::Zero());
  for (std::size_t t = 0; t < cells.cell_of_triangle.size(); ++t) {
    const std::uint32_t c = cells.cell_of_triangle[t];
    const double area = design.triangle_area_mm2()[t];
    cells.area_mm2[c] += area;
    cells.centre_mm[c] += area * centre(design.mesh(), t);
  }
  for (std::size_t c = 0; c < count; ++c)
    if (cells.area_mm2[c] > 0) cells.centre_mm[c] /= cells.area_mm2[c];
}

void set_neighbours(SurfaceCells& cells, const DesignSurface& design, std::size_t count) {
  cells.neighbours.assign(count, {});
  for (const std::uint64_t pair : pairs_beside(cells, design.index().topology())) {
    const auto lower = static_cast<std::uint32_t>(pair >> 32), higher = static_cast<std::uint32_t>(pair);
    cells.neighbours[lower].push_back(higher);
    cells.neighbours[higher].push_back(lower);
  }
}

// 1.4826 * median of |values|: the standard deviation of normal values about zero.
double robust_sd(std::span<const float> sizes) {
  return sizes.empty() ? 0 : 1.4826 * static_cast<double>(median(sizes));
}

// Deviations of the part's points, side by side for each cell.
class Gathered {
 public:
  Gathered(const HitsOfCells& of_cells, std::span<const SurfaceHit> hits, double reach_mm)
      : first_(of_cells.first), taken_(of_cells.first.size() - 1), values_(hits.size()) {
    tbb::parallel_for(cells_in_runs(taken_.size()), [&](const auto& range) {
      for (std::size_t c = range.begin(); c != range.end(); ++c) {
        std::uint32_t next = first_[c];
        for (const std::uint32_t i : of_cells.of(c))
          if (std::abs(hits[i].signed_mm) <= static_cast<float>(reach_mm))
            values_[next++] = hits[i].signed_mm;
        taken_[c] = next - first_[c];
      }
    });
  }

  std::span<const float> of(std::size_t cell) const { return {values_.data() + first_[cell], taken_[cell]}; }
  std::size_t size() const { return std::accumulate(taken_.begin(), taken_.end(), std::size_t{0}); }

  static tbb::blocked_range<std::size_t> cells_in_runs(std::size_t cells) { return {0, cells, 512}; }

 private:
  const std::vector<std::uint32_t>& first_;
  std::vector<std::uint32_t> taken_;
  std::vector<float> values_;
};

void set_mean(CellReading& reading, std::size_t cell, std::span<const float> values, float middle) {
  const auto stray_beyond = static_cast<float>(std::max(5 * reading.noise_mm, 1e-6));
  double sum = 0;
  std::uint32_t count = 0;
  for (const float v : values) {
    if (std::abs(v - middle) > stray_beyond) continue;
    sum += v;
    ++count;
  }
  reading.count[cell] = count;
  reading.mean_mm[cell] = count > 0 ? static_cast<float>(sum / count) : 0;
}

// Robust standard deviation of the values about the middle of their cell; half a million of them tell it to a
// thousandth.
double noise_about(const std::vector<float>& middle, const Gathered& gathered) {
  constexpr std::size_t enough = 500000;
  const std::size_t all = gathered.size(), stride = std::max<std::size_t>(1, all / enough);
  std::vector<float> sizes;
  sizes.reserve(all / stride + middle.size());
  for (std::size_t c = 0; c < middle.size(); ++c) {
    const std::span<const float> values = gathered.of(c);
    if (values.size() < fewest_points) continue;
    for (std::size_t i = c % stride; i < values.size(); i += stride)
      sizes.push_back(std::abs(values[i] - middle[c]));
  }
  return robust_sd(sizes);
}

// What the means scatter beyond the noise of their points: form the scanner or the process gives to
// everything. Sought is the drift with which half of the cells lie within 0.6745 of their own standard error,
// as half of normal values do: worn places do not hide themselves, and cells of few points do not speak for
// those of many.
double robust_drift(const CellReading& reading) {
  constexpr double middle_half = 0.6745;
  struct Mean {
    double squared, noise_squared;
  };
  std::vector<Mean> means;
  for (std::size_t c = 0; c < reading.count.size(); ++c)
    if (reading.count[c] >= fewest_points)
      means.push_back({std::pow(reading.mean_mm[c], 2), std::pow(reading.noise_mm, 2) / reading.count[c]});
  const auto most_lie_beyond = [&](double drift_mm) {
    const auto beyond = std::count_if(means.begin(), means.end(), [&](const Mean& m) {
      return m.squared > middle_half * middle_half * (m.noise_squared + drift_mm * drift_mm);
    });
    return 2 * static_cast<std::size_t>(beyond) > means.size();
  };
  double low = 0, high = 0;
  for (const Mean& m : means) high = std::max(high, std::sqrt(m.squared) / middle_half);
  if (!most_lie_beyond(low)) return 0;
  constexpr double fine_mm = 1e-5;
  while (high - low > fine_mm) (most_lie_beyond(0.5 * (low + high)) ? low : high) = 0.5 * (low + high);
  return high;
}

// A fifth of the points a cell's area should have makes it seen; strays alone do not. Slivers between cells
// take what their seen neighbours say.
void mark_seen(CellReading& reading, const SurfaceCells& cells, double points) {
  double area = 0;
  for (const double a : cells.area_mm2) area += a;
  const auto expected = [&](std::size_t c) { return points * cells.area_mm2[c] / area; };
  reading.seen.assign(cells.size(), false);
  for (std::size_t c = 0; c < cells.size(); ++c)
    reading.seen[c] = reading.count[c] >= std::clamp(0.2 * expected(c), 1.0, 4.0);
  const std::vector<bool> by_points = reading.seen;
  constexpr double may_be_empty = 5;  // with so few points expected an empty cell says nothing
  for (std::size_t c = 0; c < cells.size(); ++c) {
    if (by_points[c] || expected(c) > may_be_empty) continue;
    double sum = 0, beside = 0;
    for (const std::uint32_t n : cells.neighbours[c])
      if (by_points[n]) {
        sum += reading.mean_mm[n];
        ++beside;
      }
    if (beside == 0) continue;
    reading.seen[c] = true;
    if (reading.count[c] == 0) reading.mean_mm[c] = static_cast<float>(sum / beside);
  }
}

}  // namespace

double cell_side_mm(double area_mm2, std::size_t points) {
  constexpr double points_per_cell = 20, smallest_mm = 2, largest_mm = 8;
  return std::clamp(std::sqrt(points_per_cell * area_mm2 / std::max(static_cast<double>(points), 1.0)),
                    smallest_mm, largest_mm);
}

SurfaceCells cut_into_cells(const DesignSurface& design, double side_mm) {
  SurfaceCells cells;
  const std::size_t count = grow(cells.cell_of_triangle, design, seeds(design, side_mm));
  tbb::parallel_invoke([&] { set_places(cells, design, count); },
                       [&] { set_neighbours(cells, design, count); });
  return cells;
}

double CellReading::standard_error_mm(std::size_t cell) const {
  return std::sqrt(noise_mm * noise_mm / std::max(count[cell], 1u) + drift_mm * drift_mm);
}

HitsOfCells hits_of_cells(const SurfaceCells& cells, std::span<const SurfaceHit> hits) {
  HitsOfCells of_cells{std::vector<std::uint32_t>(cells.size() + 1), std::vector<std::uint32_t>(hits.size())};
  // A counting sort in parts side by side: within a cell the parts follow each other as the hits do.
  constexpr std::size_t parts = 2;
  std::array<std::vector<std::uint32_t>, parts> next;
  const auto each_part = [&](const auto& act) {
    tbb::parallel_for(std::size_t{0}, parts, [&](std::size_t p) {
      for (std::size_t i = hits.size() * p / parts; i < hits.size() * (p + 1) / parts; ++i)
        act(i, next[p][cells.cell_of_triangle[hits[i].triangle]]);
    });
  };
  for (std::vector<std::uint32_t>& of_part : next) of_part.assign(cells.size(), 0);
  each_part([](std::size_t, std::uint32_t& count) { ++count; });
  std::uint32_t before = 0;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    of_cells.first[c] = before;
    for (std::vector<std::uint32_t>& of_part : next) before += std::exchange(of_part[c], before);
  }
  of_cells.first.back() = before;
  each_part(
      [&](std::size_t i, std::uint32_t& place) { of_cells.number[place++] = static_cast<std::uint32_t>(i); });
  return of_cells;
}

CellReading read_cells(const SurfaceCells& cells, const HitsOfCells& of_cells,
                       std::span<const SurfaceHit> hits, double reach_mm) {
  const Gathered gathered(of_cells, hits, reach_mm);
  CellReading reading;
  reading.count.assign(cells.size(), 0);
  reading.mean_mm.assign(cells.size(), 0);
  std::vector<float> middle(cells.size(), 0);
  const auto each_cell = [&](const auto& act) {
    tbb::parallel_for(Gathered::cells_in_runs(cells.size()), [&](const auto& range) {
      for (std::size_t c = range.begin(); c != range.end(); ++c) act(c);
    });
  };
  each_cell([&](std::size_t c) {
    if (!gathered.of(c).empty()) middle[c] = median(gathered.of(c));
  });
  reading.noise_mm = noise_about(middle, gathered);
  each_cell([&](std::size_t c) { set_mean(reading, c, gathered.of(c), middle[c]); });
  reading.drift_mm = robust_drift(reading);
  mark_seen(reading, cells, static_cast<double>(gathered.size()));
  return reading;
}

void read_again(CellReading& reading, const SurfaceCells& cells, const std::vector<bool>& which,
                std::span<const SurfaceHit> hits, double reach_mm) {
  const HitsOfCells of_cells = hits_of_cells(cells, hits);
  const Gathered gathered(of_cells, hits, reach_mm);
  for (std::size_t c = 0; c < cells.size(); ++c)
    if (which[c]) set_mean(reading, c, gathered.of(c), gathered.of(c).empty() ? 0 : median(gathered.of(c)));
}

CellReading moved_by(const CellReading& reading, std::span<const float> more_mm) {
  CellReading moved = reading;
  for (std::size_t c = 0; c < more_mm.size(); ++c)
    if (moved.count[c] > 0) moved.mean_mm[c] += more_mm[c];
  moved.drift_mm = robust_drift(moved);
  return moved;
}

}  // namespace boxfettle
