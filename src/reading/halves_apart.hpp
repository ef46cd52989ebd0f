// How the halves stood to each other when the core was made, from a scan that lies on its design as a whole.
#pragma once

#include <span>
#include <vector>

#include "reading/halves.hpp"
#include "reading/scan_reading.hpp"
#include "reading/surface_cells.hpp"

namespace boxfettle {

// Points of the part, each with its place on the design under one pose.
struct LaidScan {
  const PointCloud& cloud;
  std::span<SurfaceHit> hits;
  RigidPose design_from_scan;
  double reach_mm;  // hits further off than this are not of the part
};

// The scan's hits by cells of the design, and what was read there.
struct ReadCells {
  const SurfaceCells& cells;
  const HitsOfCells& hits;
  CellReading& reading;
};

// Fitted twice: roughly, then without the places found worn. What still looks off then is measured once more,
// exactly. `outline` and `centroid_mm` are of the design's section at the parting face. Where the halves can
// be told, the hits and the cells' reading are afterwards those with each half on its own pose.
HalvesReading tell_halves_apart(const LaidScan& scan, const DesignSurface& design, const ReadCells& by_cell,
                                const CoreBox& box, const std::vector<Eigen::Vector3d>& outline,
                                const Eigen::Vector3d& centroid_mm);

// A place shallower than this everywhere is no patch.
double shallowest_patch_mm(const CellReading& reading, const Limits& limits);

}  // namespace boxfettle
