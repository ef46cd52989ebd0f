// Where the scan of one half of a box lies, from no guess.
//
// A half has one large flat face, its parting face. That leaves three numbers: a turn about its normal and a
// place in it. A scan point under the face with a direction, laid on a design point as deep and as steep,
// tells all three at once and votes for them. The best-voted poses are fitted to the cavity and judged by it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/point_cloud.hpp"
#include "geometry/rigid_pose.hpp"
#include "reading/half_design.hpp"

namespace boxfettle {

struct HalfPose {
  RigidPose design_from_scan;
  bool ambiguous = false;               // another pose fits the cavity as well as the data can tell
  bool settled = false;                 // one did, and the rough pose told which is meant
  std::vector<RigidPose> alternatives;  // when ambiguous
  double reach_mm = 1;                  // about how near the pose is known to bring points to the surface
  double cavity_fitting = 0;  // of the points within the outline and under the face, the share on the cavity
  std::string why_not;        // not empty: no pose can be told, and the rest means nothing
};

// `rough`, where given, chooses among poses that fit alike, as in search_pose.
HalfPose find_half_pose(const HalfDesign& design, const PointCloud& cloud,
                        const std::optional<RigidPose>& rough);

}  // namespace boxfettle
