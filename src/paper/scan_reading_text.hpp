// A scan reading as a page of plain text, for whoever stands at the box.
#pragma once

#include <string>

#include "reading/scan_reading.hpp"

namespace boxfettle {

// The verdict first, then what was found, hardest first; then the figures behind it; then what was assumed.
// `box` may be null, as for read_scan.
std::string scan_reading_text(const ScanReading& reading, const CoreBox* box);

}  // namespace boxfettle
