// Why a parting face stands open, the likeliest reason first.
#pragma once

#include <vector>

#include "closing/parting_gap.hpp"

namespace boxfettle {

// By plain signs, each weighed by how much of the opening shows it (docs/how/parting-gap.md): what the clamps
// close, whether the opening leans to one side, whether it stands all round, whether it bends, how the
// clamps' margin is.
std::vector<RankedCause> gap_causes(const CoreBox& box, const PartingGap& gap);

}  // namespace boxfettle
