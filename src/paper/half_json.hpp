// What only a reading of a half of the box has, as JSON: the parting face and the dowels.
#pragma once

#include <nlohmann/json.hpp>

#include "reading/scan_reading.hpp"

namespace boxfettle {

// Adds `parting_face` and `dowels`. A figure that cannot be told is left out, and `why_not` stands in its
// place.
void add_half_json(nlohmann::ordered_json& object, const ScanReading& reading);

}  // namespace boxfettle
