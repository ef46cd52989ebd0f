// What only a reading of a half of the box has, in trade words: the parting face and the dowels.
#pragma once

#include <string>

#include "corebox/core_box.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

std::string half_text(const ScanReading& reading, const CoreBox& box);

}  // namespace boxfettle
