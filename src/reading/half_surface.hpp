// The surface of a half as it is shown: the cavity with the parting face round it.
#pragma once

#include <vector>

#include "reading/half_design.hpp"
#include "reading/parting_face.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

// Cavity and face as large as outline and dowels ask for: roughly what a scan of the half shows, for its
// size.
TriangleMesh half_outline_sheet(const HalfDesign& design, const CoreBox& box);

// Adds the seen face to the reading's surface, on the design's parting plane, with its deviations (positive
// where metal is missing), and the damage with its vertices to the findings. `damage` in the order of
// `face.damage`.
void add_face(ScanReading& reading, const HalfDesign& design, const MeasuredFace& face,
              const std::vector<Finding>& damage);

}  // namespace boxfettle
