// The section at the parting face: the design's outline, and where the scan says it runs.
#pragma once

#include <span>

#include "reading/scan_reading.hpp"

namespace boxfettle {

// `deviation_mm` per vertex of `surface`, NaN where it was not seen. The measured outline is the design's own
// points moved outward in the face by the deviation there: the mean of what stands just above the face and
// just below it, over a few millimetres of outline, so that single points' noise does not draw teeth. A wall
// that slopes through the face moves further than its deviation. Line for line and point for point the two
// belong together; a measured point that was not seen is NaN.
PartingSection parting_section(const TriangleMesh& surface, std::span<const float> deviation_mm,
                               const PartingFace& parting);

// The stretches of a line that were seen: one line for each, open where it was cut.
std::vector<Polyline> seen_stretches(const Polyline& line);

double length_mm(const Polyline& line);

}  // namespace boxfettle
