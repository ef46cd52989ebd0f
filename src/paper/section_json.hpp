// The section along the parting face as JSON: {"design": [polyline...], "measured": [polyline...]}, a
// polyline being
// {"closed": bool, "points_mm": [[x, y]...]} in the face's own axes.
#pragma once

#include <nlohmann/json.hpp>

#include "corebox/core_box.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

// Coordinates are rounded to 0.001 mm: a drawing needs no more.
nlohmann::json section_json(const PartingSection& section, const PartingFace& parting);

}  // namespace boxfettle
