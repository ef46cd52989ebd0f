// Poses voted for by pairs of points that look alike on the design and in the scan.
#pragma once

#include <span>
#include <vector>

#include "geometry/rigid_pose.hpp"
#include "reading/oriented_points.hpp"

namespace boxfettle {

struct VotedPose {
  RigidPose design_from_scan;
  double votes;
};

// Most voted first, poses closer than about `spacing_mm` and 15 degrees merged; at most `most`.
std::vector<VotedPose> vote_poses(std::span<const OrientedPoint> design, std::span<const OrientedPoint> scan,
                                  double spacing_mm, std::size_t most);

}  // namespace boxfettle
