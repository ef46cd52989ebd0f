#include "geometry/cut_cells.hpp"

#include <tbb/parallel_for.h>

#include <numeric>
#include <span>

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

constexpr int slices = 4;
constexpr float least_fraction = 1e-3f;  // smaller parts are not worth an equation

// A piece of the wall in one slice, in cells; the inside is on its left.
struct Segment {
  Vector2d from, to;
};

// What is inside along lines of cells: each wall adds its sign to all cells beyond it, the cell it crosses in
// part. Summed along the line when all walls are known.
struct Ramp {
  std::span<float> values;
  std::size_t stride;

  void add(double at, double sign, std::size_t count) {
    if (at >= static_cast<double>(count)) return;
    const double clamped = std::max(at, 0.0);
    const auto cell = static_cast<std::size_t>(clamped);
    const double past = clamped - static_cast<double>(cell);
    values[cell * stride] += static_cast<float>(sign * (1 - past));
    if (cell + 1 < count) values[(cell + 1) * stride] += static_cast<float>(sign * past);
  }
};

// One layer of cells while its walls are gathered. Row after row, x fastest.
struct Layer {
  int nx, ny;
  std::vector<float> volume, x_face, y_face, z_face;

  Layer(int cells_x, int cells_y)
      : nx(cells_x), ny(cells_y), volume(size()), x_face(size()), y_face(size()), z_face(size()) {}

  std::size_t size() const { return static_cast<std::size_t>(nx) * static_cast<std::size_t>(ny); }
  Ramp row(std::vector<float>& values, int y) const {
    const auto width = static_cast<std::size_t>(nx);
    return {std::span(values).subspan(static_cast<std::size_t>(y) * width, width), 1};
  }
  Ramp column(std::vector<float>& values, int x) const {
    return {std::span(values).subspan(static_cast<std::size_t>(x)), static_cast<std::size_t>(nx)};
  }
};

// The whole numbers within [low, high) that a wall from a to b steps over, kept within [0, end].
std::pair<int, int> stepped_over(double a, double b, int end) {
  const auto up = [&](double v) { return static_cast<int>(std::ceil(std::clamp(v, -1.0, end + 1.0))); };
  return {std::max(up(std::min(a, b)), 0), std::min(up(std::max(a, b)) - 1, end)};
}

// The area right of a wall piece that stays in one row, cell by cell: exact for a straight piece.
void add_area_in_row(Layer& layer, std::vector<float>& into, int y, Vector2d from, Vector2d to,
                     double weight) {
  Ramp row = layer.row(into, y);
  const auto width = static_cast<std::size_t>(layer.nx);
  const double height = from.y() - to.y();
  const double run = to.x() - from.x();
  const auto [first, last] = stepped_over(from.x(), to.x(), layer.nx);
  double at = from.x();
  const auto piece = [&](double next) {
    const double share = run != 0 ? (next - at) / run : 1;
    row.add(0.5 * (at + next), weight * height * share, width);
    at = next;
  };
  if (run > 0)
    for (int x = first; x <= last; ++x) piece(x);
  else
    for (int x = last; x >= first; --x) piece(x);
  piece(to.x());
}

void add_area(Layer& layer, std::vector<float>& into, const Segment& wall, double weight) {
  if (wall.from.y() == wall.to.y()) return;
  const Vector2d slope = (wall.to - wall.from) / (wall.to.y() - wall.from.y());
  const auto at = [&](double y) { return Vector2d(wall.from + slope * (y - wall.from.y())); };
  const double low = std::max(std::min(wall.from.y(), wall.to.y()), 0.0);
  const double high = std::min(std::max(wall.from.y(), wall.to.y()), static_cast<double>(layer.ny));
  const bool up = wall.to.y() > wall.from.y();
  for (int y = static_cast<int>(low); y < high; ++y) {
    const Vector2d below = at(std::max(low, static_cast<double>(y)));
    const Vector2d above = at(std::min(high, y + 1.0));
    add_area_in_row(layer, into, y, up ? below : above, up ? above : below, weight);
  }
}

void add_edges(Layer& layer, const Segment& wall, double weight) {
  const Vector2d run = wall.to - wall.from;
  const auto [first_y, last_y] = stepped_over(wall.from.y(), wall.to.y(), layer.ny);
  for (int y = std::max(first_y, 1); y <= last_y; ++y) {
    const double x = wall.from.x() + run.x() * (y - wall.from.y()) / run.y();
    layer.row(layer.y_face, y - 1).add(x, run.y() < 0 ? weight : -weight, static_cast<std::size_t>(layer.nx));
  }
  const auto [first_x, last_x] = stepped_over(wall.from.x(), wall.to.x(), layer.nx);
  for (int x = std::max(first_x, 1); x <= last_x; ++x) {
    const double y = wall.from.y() + run.y() * (x - wall.from.x()) / run.x();
    layer.column(layer.x_face, x - 1)
        .add(y, run.x() > 0 ? weight : -weight, static_cast<std::size_t>(layer.ny));
  }
}

// Where an edge meets the slice; computed from its lower end whichever way it is walked, so that two
// triangles agree to the bit.
Vector2d crossing(const Vector3d& a, const Vector3d& b, double z) {
  const Vector3d& low = a.z() < b.z() ? a : b;
  const Vector3d& high = a.z() < b.z() ? b : a;
  return (low + (high - low) * ((z - low.z()) / (high.z() - low.z()))).head<2>();
}

// Corners exactly in the slice count as above it.
bool slice(const std::array<Vector3d, 3>& corners, double z, Segment& wall) {
  bool cut = false;
  for (std::size_t e = 0; e < 3; ++e) {
    const Vector3d &a = corners[e], &b = corners[(e + 1) % 3];
    const bool a_above = a.z() >= z, b_above = b.z() >= z;
    if (a_above == b_above) continue;
    (a_above ? wall.from : wall.to) = crossing(a, b, z);
    cut = true;
  }
  return cut;
}

// Triangles by the layers they reach into.
struct LayerLists {
  std::vector<std::size_t> start;
  std::vector<std::uint32_t> triangles;
};

std::pair<int, int> layers_of(const std::array<Vector3d, 3>& corners, int count) {
  const auto [low, high] = std::minmax({corners[0].z(), corners[1].z(), corners[2].z()});
  const auto layer = [&](double z) { return static_cast<int>(std::floor(std::clamp(z, -1.0, count + 1.0))); };
  // The face above a layer belongs to it, so a triangle that only touches that face must be there too.
  return {std::max(layer(low) - 1, 0), std::min(layer(high), count - 1)};
}

class Slicer {
 public:
  Slicer(const TriangleMesh& mesh, const Lattice& lattice) : mesh_(mesh), lattice_(lattice) {
    const auto count = static_cast<std::size_t>(lattice.cells[2]);
    lists_.start.assign(count + 1, 0);
    each_layer([&](std::size_t layer, std::uint32_t) { ++lists_.start[layer + 1]; });
    std::partial_sum(lists_.start.begin(), lists_.start.end(), lists_.start.begin());
    lists_.triangles.resize(lists_.start.back());
    std::vector<std::size_t> next(lists_.start.begin(), lists_.start.end() - 1);
    each_layer([&](std::size_t layer, std::uint32_t t) { lists_.triangles[next[layer]++] = t; });
  }

  Layer layer(int z) const {
    Layer layer(lattice_.cells[0], lattice_.cells[1]);
    const auto at = static_cast<std::size_t>(z);
    for (std::size_t i = lists_.start[at]; i < lists_.start[at + 1]; ++i) {
      const auto corners = in_cells(lists_.triangles[i]);
      Segment wall;
      for (int s = 0; s < slices; ++s)
        if (slice(corners, z + (s + 0.5) / slices, wall)) {
          add_area(layer, layer.volume, wall, 1.0 / slices);
          add_edges(layer, wall, 1.0 / slices);
        }
      if (slice(corners, z + 1.0, wall)) add_area(layer, layer.z_face, wall, 1);
    }
    sum_up(layer);
    return layer;
  }

 private:
  std::array<Vector3d, 3> in_cells(std::size_t triangle) const {
    const auto at = [&](int c) {
      return Vector3d((mesh_.corner(triangle, c) - lattice_.low_mm) / lattice_.voxel_mm);
    };
    return {at(0), at(1), at(2)};
  }

  template <typename Visit>
  void each_layer(Visit visit) {
    for (std::uint32_t t = 0; t < mesh_.triangles.size(); ++t) {
      const auto [first, last] = layers_of(in_cells(t), lattice_.cells[2]);
      for (int z = first; z <= last; ++z) visit(static_cast<std::size_t>(z), t);
    }
  }

  static void sum_up(Layer& layer) {
    const auto nx = static_cast<std::size_t>(layer.nx);
    for (std::vector<float>* along_x : {&layer.volume, &layer.y_face, &layer.z_face})
      for (std::size_t row = 0; row < layer.size(); row += nx)
        for (std::size_t x = 1; x < nx; ++x) (*along_x)[row + x] += (*along_x)[row + x - 1];
    for (std::size_t i = nx; i < layer.size(); ++i) layer.x_face[i] += layer.x_face[i - nx];
  }

  const TriangleMesh& mesh_;
  const Lattice& lattice_;
  LayerLists lists_;
};

// The strips of one layer that hold anything.
struct LayerStrips {
  std::vector<StripPlace> places;
  std::array<std::vector<float>, 4> values;  // volume, x, y, z face
};

float fraction(float sum) {
  return sum < least_fraction ? 0.0f : std::min(sum, 1.0f);
}

LayerStrips strips_of(const Layer& layer, int z) {
  LayerStrips out;
  const std::array from{&layer.volume, &layer.x_face, &layer.y_face, &layer.z_face};
  for (int y = 0; y < layer.ny; ++y)
    for (int x = 0; x < layer.nx; x += 16) {
      const std::size_t at =
          static_cast<std::size_t>(y) * static_cast<std::size_t>(layer.nx) + static_cast<std::size_t>(x);
      const auto first = layer.volume.begin() + static_cast<std::ptrdiff_t>(at);
      if (std::none_of(first, first + 16, [](float v) { return v >= least_fraction; })) continue;
      out.places.push_back(
          {static_cast<std::uint16_t>(x / 16), static_cast<std::uint16_t>(y), static_cast<std::uint16_t>(z)});
      for (std::size_t field = 0; field < 4; ++field)
        for (std::size_t i = 0; i < 16; ++i) out.values[field].push_back(fraction((*from[field])[at + i]));
    }
  return out;
}

// A face counts only between two cells that do.
void close_faces_to_nowhere(CutCells& cells) {
  const StripGrid& grid = cells.grid;
  tbb::parallel_for(std::size_t{1}, grid.strips.size(), [&](std::size_t slot) {
    const StripGrid::Strip& strip = grid.strips[slot];
    const bool ends = grid.slot(strip.x + 1, strip.y, strip.z) == 0;
    for (std::uint32_t lane = 0; lane < 16; ++lane) {
      const std::uint32_t cell = grid.cell_in(static_cast<std::uint32_t>(slot), lane);
      const auto faces = grid.faces(cell);
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const bool nowhere = axis == 0 && lane == 15 && ends;
        if (nowhere || cells.volume[cell] == 0 || cells.volume[faces[2 * axis].other] == 0)
          cells.aperture[axis][cell] = 0;
      }
    }
  });
}

}  // namespace

Lattice lattice_around(const TriangleMesh& mesh, double voxel_mm) {
  const Bounds box = bounds(mesh);
  Lattice lattice{box.centre(), voxel_mm, {}};
  for (Eigen::Index k = 0; k < 3; ++k) {
    const int n = static_cast<int>(std::ceil((box.high[k] - box.low[k]) / voxel_mm - 1e-9));
    lattice.cells[static_cast<std::size_t>(k)] = std::max(n, 1);
    lattice.low_mm[k] -= 0.5 * voxel_mm * std::max(n, 1);
  }
  return lattice;
}

std::size_t CutCells::cell_count() const {
  return static_cast<std::size_t>(std::count_if(volume.begin(), volume.end(), [](float v) { return v > 0; }));
}

double CutCells::volume_mm3() const {
  const double cells = std::accumulate(volume.begin(), volume.end(), 0.0);
  return cells * lattice.voxel_mm * lattice.voxel_mm * lattice.voxel_mm;
}

CutCells cut_cells(const TriangleMesh& mesh, const Lattice& lattice) {
  Lattice padded = lattice;
  padded.cells[0] = (lattice.cells[0] + 15) / 16 * 16;
  const Slicer slicer(mesh, padded);
  const auto count = static_cast<std::size_t>(padded.cells[2]);
  std::vector<LayerStrips> layers(count);
  tbb::parallel_for(std::size_t{0}, count, [&](std::size_t z) {
    layers[z] = strips_of(slicer.layer(static_cast<int>(z)), static_cast<int>(z));
  });
  std::vector<StripPlace> places;
  for (const LayerStrips& layer : layers)
    places.insert(places.end(), layer.places.begin(), layer.places.end());
  CutCells cells{padded, strip_grid(padded.cells, places), {}, {}};
  const std::array into{&cells.volume, &cells.aperture[0], &cells.aperture[1], &cells.aperture[2]};
  for (std::vector<float>* field : into) field->assign(cells.grid.value_count(), 0);
  tbb::parallel_for(std::size_t{0}, count, [&](std::size_t z) {
    const std::uint32_t first = cells.grid.plane_start[z];
    for (std::size_t field = 0; field < 4; ++field)
      for (std::uint32_t i = 0; i < layers[z].values[field].size(); ++i)
        (*into[field])[cells.grid.cell_in(first + i / 16, i % 16)] = layers[z].values[field][i];
    layers[z] = {};
  });
  close_faces_to_nowhere(cells);
  return cells;
}

}  // namespace boxfettle
