// How much air leaves through a parting face that stands open.
#pragma once

#include "closing/parting_gap.hpp"

namespace boxfettle {

Leak parting_leak(const CoreBox& box, const CavityFootprint& footprint, const GapField& opening,
                  const PartingGapSettings& settings);

}  // namespace boxfettle
