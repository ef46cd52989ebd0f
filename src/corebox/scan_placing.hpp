// How scans of a box lie, as its file tells it.
#pragma once

#include <optional>
#include <vector>

#include "corebox/box_table.hpp"
#include "corebox/core_box.hpp"

namespace boxfettle {

// [scan_pose], the scan's rotation (nine numbers, row by row) and shift onto the design. Throws InputError
// when the nine are no rotation to 0.01.
RigidPose scan_pose(const BoxTable& table);

DatumTarget datum_target(const BoxTable& table);

// The pose that lays the targets picked in the scan on those of the design, by least squares. Throws
// InputError through `file` for fewer than three, three on a line, or targets further apart in the scan than
// on the design by more than 2 mm or 2 % (then one was picked wrongly). Empty without targets.
std::optional<RigidPose> pose_by_targets(const std::vector<DatumTarget>& targets, const BoxTable& file);

}  // namespace boxfettle
