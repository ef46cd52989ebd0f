#include "geometry/implicit_mesh.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <vector>

#include "geometry/cell_sheets.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;
using Eigen::Vector3i;

constexpr int block = 8;       // corners along a side of a block that is skipped or looked at as one
constexpr double away = 1e30;  // outside, further than anything

// The function at the grid's corners, a rim of outside corners around them so that every surface closes.
class CornerGrid {
 public:
  CornerGrid(const Bounds& within, double cell_mm) : cell_mm_(cell_mm) {
    if (!(cell_mm > 0) || within.empty())
      throw std::invalid_argument("an implicit solid needs a cell above 0 and room");
    const Vector3d steps =
        ((within.high - within.low) / cell_mm).array().ceil() + 3;  // one spare, two for the rim
    if (!(steps.prod() < 1e9)) throw std::invalid_argument("more than 1e9 cells: take a larger cell");
    corners_ = steps.cast<int>();
    low_mm_ = within.low - Vector3d::Constant(cell_mm);
    value_.assign(static_cast<std::size_t>(corners_.x()) * static_cast<std::size_t>(corners_.y()) *
                      static_cast<std::size_t>(corners_.z()),
                  static_cast<float>(away));
  }

  const Vector3i& corners() const { return corners_; }
  double cell_mm() const { return cell_mm_; }
  Vector3d at_mm(const Vector3i& corner) const { return low_mm_ + cell_mm_ * corner.cast<double>(); }
  std::size_t index(const Vector3i& c) const {
    return (static_cast<std::size_t>(c.z()) * static_cast<std::size_t>(corners_.y()) +
            static_cast<std::size_t>(c.y())) *
               static_cast<std::size_t>(corners_.x()) +
           static_cast<std::size_t>(c.x());
  }
  float value(const Vector3i& corner) const { return value_[index(corner)]; }
  bool inside(const Vector3i& corner) const { return value(corner) < 0; }

  void fill(const ImplicitSolid& solid, double steepest_slope) {
    const int layers = (corners_.z() - 2 + block - 1) / block;
    const int rows = (corners_.y() - 2 + block - 1) / block;
    tbb::parallel_for(0, layers * rows, [&](int job) {
      for (int x = 1; x < corners_.x() - 1; x += block)
        fill_block(solid, steepest_slope, {x, 1 + job % rows * block, 1 + job / rows * block});
    });
  }

 private:
  void fill_block(const ImplicitSolid& solid, double steepest_slope, const Vector3i& first) {
    const Vector3i last = (first.array() + block - 1).min(corners_.array() - 2).matrix();
    const Vector3d low = at_mm(first), high = at_mm(last);
    // A cell more than the block: its outermost corners share edges with corners of the next block.
    const double reach_mm = 0.5 * (high - low).norm() + cell_mm_;
    const double middle = steepest_slope > 0 ? solid(0.5 * (low + high)) : 0;
    const bool far = std::abs(middle) > steepest_slope * reach_mm;
    for (int z = first.z(); z <= last.z(); ++z)
      for (int y = first.y(); y <= last.y(); ++y)
        for (int x = first.x(); x <= last.x(); ++x)
          value_[index({x, y, z})] = static_cast<float>(far ? middle : solid(at_mm({x, y, z})));
  }

  double cell_mm_;
  Vector3i corners_;
  Vector3d low_mm_;
  std::vector<float> value_;
};

Vector3i corner_offset(int corner) {
  return {corner & 1, corner >> 1 & 1, corner >> 2 & 1};
}
Vector3i along(int axis) {
  return Vector3i::Unit(axis);
}

unsigned inside_mask(const CornerGrid& grid, const Vector3i& cell) {
  unsigned mask = 0;
  for (int corner = 0; corner < 8; ++corner)
    if (grid.inside(cell + corner_offset(corner))) mask |= 1u << corner;
  return mask;
}

CellSheets sheets_of_cell(const CornerGrid& grid, const Vector3i& cell, unsigned mask) {
  unsigned joined = 0;
  for (int face = 0; face < 6; ++face) {
    if (!one_sheet_twice(mask, face)) continue;
    const Vector3i neighbour = cell + (face % 2 == 0 ? -1 : 1) * along(face / 2);
    if (one_sheet_twice(inside_mask(grid, neighbour), opposite(face))) joined |= 1u << face;
  }
  return joined == 0 ? cell_sheets(mask) : cell_sheets(mask, joined);
}

// Where the surface crosses an edge, by the straight line between its two values.
Vector3d crossing_mm(const CornerGrid& grid, const Vector3i& cell, int edge) {
  const int axis = edge / 4;
  const Vector3i low = cell + (edge & 1) * along((axis + 1) % 3) + (edge >> 1 & 1) * along((axis + 2) % 3);
  const double a = grid.value(low), b = grid.value(low + along(axis));
  return grid.at_mm(low) + grid.cell_mm() * std::clamp(a / (a - b), 0.02, 0.98) * Vector3d::Unit(axis);
}

Vector3d gradient(const ImplicitSolid& solid, const Vector3d& at_mm, double step_mm) {
  Vector3d slope;
  for (int axis = 0; axis < 3; ++axis) {
    const Vector3d step = step_mm * Vector3d::Unit(axis);
    slope[axis] = (solid(at_mm + step) - solid(at_mm - step)) / (2 * step_mm);
  }
  return slope;
}

// Stops where a step no longer brings the vertex nearer or would carry it out of its cell's neighbourhood.
Vector3d drawn_onto_surface(const ImplicitSolid& solid, const Vector3d& start_mm, double cell_mm, int steps) {
  Vector3d at_mm = start_mm;
  double value = solid(at_mm);
  for (int i = 0; i < steps && std::abs(value) > 1e-9 * cell_mm; ++i) {
    const Vector3d slope = gradient(solid, at_mm, 1e-4 * cell_mm);
    if (!(slope.squaredNorm() > 1e-12)) break;
    const Vector3d next_mm = at_mm - value / slope.squaredNorm() * slope;
    if ((next_mm - start_mm).norm() > 0.5 * cell_mm) break;
    const double next_value = solid(next_mm);
    if (!(std::abs(next_value) < std::abs(value))) break;
    at_mm = next_mm;
    value = next_value;
  }
  return at_mm;
}

struct CellVertices {
  Vector3i cells;                    // along each axis
  std::vector<std::uint32_t> first;  // per cell: its first vertex, where it has any
  std::vector<Vector3d> vertices;
};

std::size_t cell_index(const Vector3i& cells, const Vector3i& c) {
  return (static_cast<std::size_t>(c.z()) * static_cast<std::size_t>(cells.y()) +
          static_cast<std::size_t>(c.y())) *
             static_cast<std::size_t>(cells.x()) +
         static_cast<std::size_t>(c.x());
}

template <typename Visit>
void visit_crossed_cells(const CornerGrid& grid, int layer, Visit&& visit) {
  for (int y = 0; y + 1 < grid.corners().y(); ++y)
    for (int x = 0; x + 1 < grid.corners().x(); ++x) {
      const Vector3i cell{x, y, layer};
      const unsigned mask = inside_mask(grid, cell);
      if (mask != 0 && mask != 255) visit(cell, mask);
    }
}

// The vertices of one layer of cells, in the order of its cells; `first` counts from the layer's own start.
std::vector<Vector3d> layer_vertices(const CornerGrid& grid, int layer, CellVertices& all) {
  std::vector<Vector3d> vertices;
  visit_crossed_cells(grid, layer, [&](const Vector3i& cell, unsigned mask) {
    all.first[cell_index(all.cells, cell)] = static_cast<std::uint32_t>(vertices.size());
    const CellSheets sheets = sheets_of_cell(grid, cell, mask);
    for (int sheet = 0; sheet < sheets.count; ++sheet) {
      Vector3d sum = Vector3d::Zero();
      int crossings = 0;
      for (int edge = 0; edge < 12; ++edge) {
        if (sheets.of_edge[static_cast<std::size_t>(edge)] != sheet) continue;
        sum += crossing_mm(grid, cell, edge);
        ++crossings;
      }
      vertices.push_back(sum / crossings);
    }
  });
  return vertices;
}

template <typename Item>
std::vector<Item> joined(const std::vector<std::vector<Item>>& parts) {
  std::vector<Item> all;
  all.reserve(std::accumulate(parts.begin(), parts.end(), std::size_t{0},
                              [](std::size_t sum, const auto& part) { return sum + part.size(); }));
  for (const auto& part : parts) all.insert(all.end(), part.begin(), part.end());
  return all;
}

CellVertices cell_vertices(const CornerGrid& grid) {
  CellVertices all;
  all.cells = grid.corners().array() - 1;
  const std::size_t cells_per_layer = cell_index(all.cells, {0, 0, 1});
  all.first.assign(cells_per_layer * static_cast<std::size_t>(all.cells.z()), 0);
  std::vector<std::vector<Vector3d>> layers(static_cast<std::size_t>(all.cells.z()));
  tbb::parallel_for(0, all.cells.z(),
                    [&](int z) { layers[static_cast<std::size_t>(z)] = layer_vertices(grid, z, all); });

  std::vector<std::uint32_t> start(layers.size() + 1, 0);
  for (std::size_t z = 0; z < layers.size(); ++z)
    start[z + 1] = start[z] + static_cast<std::uint32_t>(layers[z].size());
  tbb::parallel_for(std::size_t{0}, layers.size(), [&](std::size_t z) {
    for (std::size_t i = z * cells_per_layer; i < (z + 1) * cells_per_layer; ++i) all.first[i] += start[z];
  });
  all.vertices = joined(layers);
  return all;
}

// The four vertices round a crossed edge, counter-clockwise seen from outside.
std::array<std::uint32_t, 4> vertices_round(const CornerGrid& grid, const CellVertices& cells,
                                            const Vector3i& corner, int axis) {
  const int b = (axis + 1) % 3, c = (axis + 2) % 3;
  constexpr std::array<std::array<int, 2>, 4> turn{{{0, 0}, {1, 0}, {1, 1}, {0, 1}}};  // cells round the edge
  std::array<std::uint32_t, 4> quad{};
  for (std::size_t i = 0; i < 4; ++i) {
    const int u = 1 - turn[i][0], v = 1 - turn[i][1];  // where the edge stands in that cell
    const Vector3i cell = corner - u * along(b) - v * along(c);
    const CellSheets sheets = sheets_of_cell(grid, cell, inside_mask(grid, cell));
    quad[i] = cells.first[cell_index(cells.cells, cell)] +
              static_cast<std::uint32_t>(sheets.of_edge[static_cast<std::size_t>(4 * axis + u + 2 * v)]);
  }
  if (!grid.inside(corner)) std::swap(quad[1], quad[3]);
  return quad;
}

// Cut along the shorter diagonal: the fatter pair of triangles.
void add_quad(const std::array<std::uint32_t, 4>& q, const std::vector<Vector3d>& at,
              std::vector<Triangle>& out) {
  if ((at[q[0]] - at[q[2]]).squaredNorm() <= (at[q[1]] - at[q[3]]).squaredNorm()) {
    out.push_back({q[0], q[1], q[2]});
    out.push_back({q[0], q[2], q[3]});
  } else {
    out.push_back({q[0], q[1], q[3]});
    out.push_back({q[1], q[2], q[3]});
  }
}

std::vector<Triangle> layer_triangles(const CornerGrid& grid, const CellVertices& cells, int z) {
  std::vector<Triangle> triangles;
  for (int y = 0; y + 1 < grid.corners().y(); ++y)
    for (int x = 0; x + 1 < grid.corners().x(); ++x)
      for (int axis = 0; axis < 3; ++axis) {
        const Vector3i corner{x, y, z};
        if (grid.inside(corner) != grid.inside(corner + along(axis)))
          add_quad(vertices_round(grid, cells, corner, axis), cells.vertices, triangles);
      }
  return triangles;
}

}  // namespace

TriangleMesh mesh_of_implicit(const ImplicitSolid& solid, const Bounds& within,
                              const ImplicitMeshSettings& settings) {
  CornerGrid grid(within, settings.cell_mm);
  grid.fill(solid, settings.steepest_slope);
  CellVertices cells = cell_vertices(grid);
  tbb::parallel_for(std::size_t{0}, cells.vertices.size(), [&](std::size_t i) {
    cells.vertices[i] = drawn_onto_surface(solid, cells.vertices[i], settings.cell_mm, settings.newton_steps);
  });
  std::vector<std::vector<Triangle>> layers(static_cast<std::size_t>(grid.corners().z() - 1));
  tbb::parallel_for(0, grid.corners().z() - 1,
                    [&](int z) { layers[static_cast<std::size_t>(z)] = layer_triangles(grid, cells, z); });
  TriangleMesh mesh;
  mesh.triangles = joined(layers);
  mesh.vertices = std::move(cells.vertices);
  return mesh;
}

}  // namespace boxfettle
