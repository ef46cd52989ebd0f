// Places where the surface strays from its design more than the scan's own noise can.
#pragma once

#include <cstdint>
#include <vector>

#include "reading/surface_cells.hpp"

namespace boxfettle {

struct Patch {
  std::vector<std::uint32_t> cells;
  std::uint32_t peak_cell = 0;
  double area_mm2 = 0;
  double depth_mm = 0;    // signed; mean over the deepest cells (3 % of the patch, at least one)
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

// Connected places without points, larger than `fewest_mm2`.
std::vector<Patch> find_unseen(const SurfaceCells& cells, const CellReading& reading, double fewest_mm2);

}  // namespace boxfettle
