// The design surface cut into small cells, and what the scan says in each.
//
// A cell is the unit in which a finding is sought: large enough that the noise of single points averages out,
// small against the faults sought. Cells follow the surface (they are grown over neighbouring triangles), so
// the two faces of a thin wall never share one.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/closest_point.hpp"
#include "reading/design_surface.hpp"

namespace boxfettle {

struct SurfaceCells {
  std::vector<std::uint32_t> cell_of_triangle;
  std::vector<double> area_mm2;
  std::vector<Eigen::Vector3d> centre_mm;              // mean of its triangles, weighted by area
  std::vector<std::vector<std::uint32_t>> neighbours;  // cells that share an edge, sorted

  std::size_t size() const { return area_mm2.size(); }
};

// So that a cell has some 20 of the points, within 2 to 8 mm.
double cell_side_mm(double area_mm2, std::size_t points);

SurfaceCells cut_into_cells(const DesignSurface& design, double side_mm);

// Which hits lie in each cell, by their numbers, in their order.
struct HitsOfCells {
  std::vector<std::uint32_t> first, number;
  std::span<const std::uint32_t> of(std::size_t cell) const {
    return {number.data() + first[cell], first[cell + 1] - first[cell]};
  }
};

// Every hit must have a triangle.
HitsOfCells hits_of_cells(const SurfaceCells& cells, std::span<const SurfaceHit> hits);

// Deviations gathered by cell.
struct CellReading {
  std::vector<std::uint32_t> count;  // points taken
  std::vector<float> mean_mm;  // after points far from the cell's median are dropped; 0 where count is 0
  double noise_mm = 0;         // robust standard deviation of single points about their cell's median
  double drift_mm = 0;         // robust standard deviation of cell means beyond what noise_mm explains
  std::vector<bool>
      seen;  // has a fair share of points, or is too small to expect any and lies beside one that has
  double standard_error_mm(std::size_t cell) const;
};

// `of_cells` of the same hits; those further off than `reach_mm` are not of the part.
CellReading read_cells(const SurfaceCells& cells, const HitsOfCells& of_cells,
                       std::span<const SurfaceHit> hits, double reach_mm);

// The counts and means of some cells once more, from the hits that lie there after they were measured better.
void read_again(CellReading& reading, const SurfaceCells& cells, const std::vector<bool>& which,
                std::span<const SurfaceHit> hits, double reach_mm);

// What would have been read with each cell's points off by so much more, all alike.
CellReading moved_by(const CellReading& reading, std::span<const float> more_mm);

}  // namespace boxfettle
