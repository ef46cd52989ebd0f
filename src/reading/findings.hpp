// Findings in the words a fitter needs, judged by the box's limits.
#pragma once

#include <string>
#include <vector>

#include "reading/halves.hpp"
#include "reading/patches.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

// hold at the limit or beyond; watch when the interval reaches the limit or the value is past 70 % of it;
// else note.
Severity severity_of(double size_mm, double u95_mm, double limit_mm);

// At most one each: mismatch and gap, when they are more than noise and more than 15 % of their limit.
std::vector<Finding> halves_findings(const HalvesReading& halves, const CoreBox& box,
                                     const std::vector<Eigen::Vector3d>& outline);

Finding patch_finding(const Patch& patch, const SurfaceCells& cells, const DesignSurface& design,
                      const CoreBox* box, const Limits& limits);
Finding unseen_finding(const Patch& patch, const SurfaceCells& cells, const DesignSurface& design,
                       const CoreBox* box);

// "the upper half, 39 mm from vent V5": the half, and the nearest named part of the box when one is near.
std::string place_words(const Eigen::Vector3d& where_mm, const CoreBox* box);
// "3.2 cm2, 14 mm from dowel D1": how large and near what.
std::string area_and_place_words(double area_mm2, const Eigen::Vector3d& where_mm, const CoreBox* box);

// The worst of the findings; never better than the data allow (see ScanReading::notes for why).
ScanVerdict verdict_of(const std::vector<Finding>& findings, bool can_tell);

}  // namespace boxfettle
