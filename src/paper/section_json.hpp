// The section along the parting face as JSON and in words. Coordinates are rounded to 0.001 mm: a drawing
// needs no more.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "corebox/core_box.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

// For a drawing: {"design": [polyline...], "measured": [polyline...]}, a polyline being {"closed": bool,
// "points_mm": [[x, y]...]} in the face's own axes. The two belong together point for point; a measured point
// that was not seen is [null, null].
nlohmann::json section_json(const PartingSection& section, const PartingFace& parting);

// For other programs: {"plane_point_mm", "plane_normal", "design": [...], "measured": [...]} with points
// [x, y, z] in design coordinates. Measured lines are cut where nothing was seen.
nlohmann::ordered_json section_in_space_json(const PartingSection& section, const PartingFace& parting);

// How many lines, and how long they are together.
std::string section_text(const PartingSection& section);

}  // namespace boxfettle
