// Worn and built-up places followed from scan to scan of one box.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "reading/known_place.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

// What following needs of one scan. All scans of a series lie on the same surface.
struct ScanOfSeries {
  std::vector<Finding> findings;
  MeasuredPoints points;
  bool placed = true;  // false: it is not sure how the scan lies, so no place can be found on it
};
ScanOfSeries scan_of_series(ScanReading&& reading);  // of a reading with its points kept

struct PatchReading {
  double depth_mm, u95_mm;
  double area_mm2;  // of what this scan alone calls a finding there; 0 when it does not
};

struct FollowedPatch {
  std::string id;    // "P1": in the order in which they are first found
  FindingKind kind;  // wear or build-up
  Eigen::Vector3d where_mm;
  std::string place;                                  // "the upper half, 39 mm from vent V5"
  std::vector<std::optional<PatchReading>> readings;  // one per scan, empty where it did not see the place
};

// Findings of one kind that share a fifth of the smaller one's vertices are the same place. Each place is
// measured in every scan at one spot, the summit of all scans together that show it. `scans` in order of
// time; `box` may be null.
std::vector<FollowedPatch> followed_patches(std::span<const ScanOfSeries> scans, const TriangleMesh& surface,
                                            const CoreBox* box);

}  // namespace boxfettle
