// What a scan of one half of a core box, the tool itself, says about it.
#pragma once

#include <variant>

#include "reading/scan_reading.hpp"

namespace boxfettle {

// `design` is the core's, in mm; the half's cavity is that surface on the half's side of the box's parting
// plane. The scan may show block, dowels, and what lies about. The reading is in the same terms as a core's:
// positive where metal is lost, since there the core has extra. `halves` stays empty; `surface` is the cavity
// and the face that was seen, facing out of the tool as a scanner sees them. The result does not
// depend on the number of threads. Throws InputError as read_scan does.
ScanReading read_half(const TriangleMesh& design, const std::variant<TriangleMesh, PointCloud>& scan,
                      Half half, const CoreBox& box, const ScanSettings& settings = {});

// Whichever was scanned: read_scan or read_half. `box` may be null for a core only; throws InputError("scan",
// ...) for a half without one.
ScanReading read_scanned(ScanSubject of, const TriangleMesh& design,
                         const std::variant<TriangleMesh, PointCloud>& scan, const CoreBox* box,
                         const ScanSettings& settings = {});

}  // namespace boxfettle
