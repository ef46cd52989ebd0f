// The dowels of a scanned half: which are pins and which are bores or slots, where they are and how wide.
#pragma once

#include <span>
#include <vector>

#include "reading/dowel_fit.hpp"
#include "reading/half_design.hpp"
#include "reading/half_figures.hpp"
#include "reading/pose_fit.hpp"

namespace boxfettle {

// One reading for each dowel of the box. `points`: those of the scan near a dowel, in the parting face's
// axes, with their height over the measured face, out of the tool. `cavity` is the pose they were laid by,
// for its covariance about `pivot_mm`.
std::vector<DowelReading> read_dowels(const CoreBox& box, std::span<const WallPoint> points,
                                      const PoseFit& cavity, const Eigen::Vector3d& pivot_mm);

}  // namespace boxfettle
