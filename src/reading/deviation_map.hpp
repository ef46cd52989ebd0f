// Single deviations gathered into the figures and the map of a reading.
#pragma once

#include <span>
#include <vector>

#include "geometry/closest_point.hpp"
#include "reading/scan_reading.hpp"
#include "reading/surface_cells.hpp"

namespace boxfettle {

// `hits` of the part alone; `outlier_fraction` is left to who sorted out the rest. `total` is the cells'
// reading of the same hits: it says which part of the design was seen.
Deviation deviation_figures(std::span<const SurfaceHit> hits, const SurfaceCells& cells,
                            const CellReading& total, double reach_mm, double limit_mm);

// Mean deviation of the hits about each vertex of the design; of its cell where the vertex itself was hit too
// seldom; NaN where the cell was not seen.
std::vector<float> vertex_deviations(std::span<const SurfaceHit> hits, const TriangleMesh& mesh,
                                     const SurfaceCells& cells, const CellReading& total, double reach_mm);

}  // namespace boxfettle
