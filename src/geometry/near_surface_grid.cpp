#include "geometry/near_surface_grid.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/mesh_topology.hpp"

namespace boxfettle {
namespace {

// A surface that is thin and wide-spread would need more corners of fine cells than there is memory.
double cell_with_room(const Eigen::Array3d& size_mm, double cell_mm) {
  constexpr double most_corners = 8e6, coarser = 1.25;
  while ((size_mm / cell_mm + 4).prod() > most_corners) cell_mm *= coarser;
  return cell_mm;
}

}  // namespace

// A place on the triangle (its first corner), counted from the low end of the grid.
struct NearSurfaceGrid::Known {
  Eigen::Vector3f place_mm = Eigen::Vector3f::Constant(1e18f);
  std::uint32_t triangle = no_triangle;
};

NearSurfaceGrid::NearSurfaceGrid(const TriangleMesh& mesh, double cell_mm, double margin_mm) {
  const Bounds surface = bounds(mesh);
  low_mm_ = surface.low.array() - margin_mm;
  const Eigen::Array3d size = (surface.high - surface.low).array() + 2 * margin_mm;
  cell_mm_ = cell_with_room(size, cell_mm);
  corners_ = (size / cell_mm_).ceil().cast<int>() + 1;
  const Eigen::Array3i all = corners_ + 2;
  stride_ = {1, all.x(), all.x() * all.y()};
  std::vector<Known> known(static_cast<std::size_t>(all.prod()));
  sow(mesh, known);
  tell_on(known);
  nearest_.reserve(known.size());
  for (const Known& k : known) nearest_.push_back(k.triangle);
}

// Each triangle is offered to the grid's corner that is nearest to its place.
void NearSurfaceGrid::sow(const TriangleMesh& mesh, std::vector<Known>& known) const {
  const auto per_cell = static_cast<float>(1 / cell_mm_);
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    const Eigen::Vector3d at = mesh.corner(t, 0) - low_mm_;
    const Eigen::Vector3f place = at.cast<float>();
    const Eigen::Array3i corner = (place.array() * per_cell + 0.5f).cast<int>();
    const Eigen::Vector3f corner_mm = corner.cast<float>() * static_cast<float>(cell_mm_);
    Known& here = known[static_cast<std::size_t>(((corner + 1) * stride_).sum())];
    if ((place - corner_mm).squaredNorm() < (here.place_mm - corner_mm).squaredNorm()) here = {place, t};
  }
}

// Twice over the grid, there and back: each corner asks the thirteen of its neighbours that were passed
// already what is nearest to them.
void NearSurfaceGrid::tell_on(std::vector<Known>& known) const {
  std::array<std::ptrdiff_t, 13> passed{};
  std::size_t count = 0;
  for (int z = -1; z <= 0; ++z)
    for (int y = -1; y <= 1; ++y)
      for (int x = -1; x <= 1; ++x)
        if (z < 0 || y < 0 || (y == 0 && x < 0)) passed[count++] = (Eigen::Array3i(x, y, z) * stride_).sum();
  const auto visit = [&](int x, int y, int z, std::ptrdiff_t way) {
    const Eigen::Array3i corner(x, y, z);
    const Eigen::Vector3f here = corner.cast<float>() * static_cast<float>(cell_mm_);
    Known* const at = &known[static_cast<std::size_t>(((corner + 1) * stride_).sum())];
    float best = (at->place_mm - here).squaredNorm();
    for (const std::ptrdiff_t step : passed) {
      const Known& other = at[way * step];
      const float distance = (other.place_mm - here).squaredNorm();
      if (distance >= best) continue;
      best = distance;
      *at = other;
    }
  };
  for (int z = 0; z < corners_.z(); ++z)
    for (int y = 0; y < corners_.y(); ++y)
      for (int x = 0; x < corners_.x(); ++x) visit(x, y, z, 1);
  for (int z = corners_.z(); z-- > 0;)
    for (int y = corners_.y(); y-- > 0;)
      for (int x = corners_.x(); x-- > 0;) visit(x, y, z, -1);
}

std::size_t NearSurfaceGrid::place_of(const Eigen::Vector3d& point_mm) const {
  const Eigen::Array3d cells = (point_mm - low_mm_).array() / cell_mm_ + 0.5;
  const Eigen::Array3i corner = cells.max(0.0).min((corners_ - 1).cast<double>()).cast<int>();
  return static_cast<std::size_t>(((corner + 1) * stride_).sum());
}

}  // namespace boxfettle
