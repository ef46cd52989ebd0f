// Places where the surface strays from its design more than the scan's own noise can.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "reading/surface_cells.hpp"

namespace boxfettle {

struct Patch {
  std::vector<std::uint32_t> cells;
  std::uint32_t peak_cell = 0;
  Eigen::Vector3d where_mm = Eigen::Vector3d::Zero();  // of the peak, on the surface or close to it
  double area_mm2 = 0;
  double depth_mm = 0;    // signed; of the peak cell until sharpen()
  double volume_mm3 = 0;  // signed
  double u95_mm = 0;      // of depth_mm
};

struct PatchSettings {
  double floor_mm;  // a place shallower than this everywhere is no patch, however sure
  double false_alarm =
      0.01;  // accepted chance of one false patch anywhere on the surface (Bonferroni over the cells)
};

// Deepest first. A patch starts from cells that are beyond doubt and takes in neighbours of the same sign
// that are clearly off the design themselves.
std::vector<Patch> find_patches(const SurfaceCells& cells, const CellReading& reading,
                                const PatchSettings& settings);

// The single points a reading of cells was made from.
struct PointReading {
  std::span<const SurfaceHit> hits;
  std::function<Eigen::Vector3d(std::size_t)> at_mm;  // in design coordinates
};

// Takes the depth, its place and its uncertainty from the points about the peak, where they are enough.
void sharpen(Patch& patch, const SurfaceCells& cells, const CellReading& reading, const PointReading& points);

// Connected places without points, larger than `fewest_mm2`.
std::vector<Patch> find_unseen(const SurfaceCells& cells, const CellReading& reading, double fewest_mm2);

}  // namespace boxfettle
