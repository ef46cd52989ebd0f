// Whether sand gets out through an open parting face.
#pragma once

namespace boxfettle {

// Mean grain of a sand of one size, 13.6 / grain fineness number, in mm: a rule of thumb.
double mean_grain_mm(double grain_fineness);

// A slot lets single grains through once it is wider than a grain. Until it is twice as wide as the coarser
// grains they still arch over it and the sand stays: C. J. Coberly, "Selection of screen openings for
// unconsolidated sands", API Drilling and Production Practice, 1937 (twice the 10 percentile grain; from
// memory). The mean grain stands here for the coarser ones, which is the cautious side.
enum class SandEscape { none, single_grains, runs_out };
SandEscape sand_escape(double slot_mm, double grain_mm);

}  // namespace boxfettle
