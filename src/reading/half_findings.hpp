// What is wrong with a half of the box, in the words a fitter needs: its parting face and its dowels.
#pragma once

#include <vector>

#include "reading/half_design.hpp"
#include "reading/parting_face.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

// Raised metal keeps the halves apart: judged by the gap limit. A dent beside the cavity gives a fin as thick
// as it is deep: judged the same. Any other dent holds nothing: a note, or watched past 70 % of the limit
// (common practice). `Finding::vertices` are left empty.
std::vector<Finding> face_damage_findings(const MeasuredFace& face, const CoreBox& box);

// At most one each for a face that stands off its place against the cavity and one that is not flat, when
// they are more than their uncertainty and more than 15 % of the gap limit. `where_mm`: the outline's
// centroid.
std::vector<Finding> face_form_findings(const PartingFaceReading& face, const CoreBox& box,
                                        const Eigen::Vector3d& where_mm);

// At most one for each dowel: off its place or worn in diameter, judged by the mismatch limit.
std::vector<Finding> dowel_findings(const std::vector<DowelReading>& dowels, const CoreBox& box);

}  // namespace boxfettle
