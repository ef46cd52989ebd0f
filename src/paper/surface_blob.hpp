// The design's surface coloured by a scan reading, as bytes for a viewer. Little endian, no padding:
//   'BFS1'                      four bytes
//   uint32 V, uint32 T          vertices, triangles
//   float32[3V]                 vertex positions, design mm
//   uint32[3T]                  vertex indices of the triangles
//   float32[V]                  deviation in mm, NaN where the scan saw nothing
//   uint16[V]                   the finding a vertex lies in: its place in findings, counted from 1; 0 = none
#pragma once

#include <cstddef>
#include <vector>

#include "reading/scan_reading.hpp"

namespace boxfettle {

// Of the reading's own surface. A vertex in several findings shows the hardest, which stands first. Throws std::length_error when the mesh has more vertices or triangles than the format can
// count.
std::vector<std::byte> surface_blob(const ScanReading& reading);

}  // namespace boxfettle
