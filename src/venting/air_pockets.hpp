// Where air is shut in while the cavity fills level by level from below: places that lose every vent before
// they are full.
//
// The front is taken as level, whatever way the sand flies: an indicator for comparing states of a box.
#pragma once

#include <vector>

#include "geometry/cut_cells.hpp"

namespace boxfettle {

struct AirPocket {
  Eigen::Vector3d where_mm;  // its highest cell
  double volume_mm3;         // of cavity above the level at which its last way to a vent drowns
  double depth_mm;           // from its top down to that level
  int fills_last_rank;       // 1: the highest, which fills last
};

struct PocketSettings {
  double least_depth_voxels = 2;  // shallower ones are steps of the grid
};

// `vent_cells`: where air leaves. `up`: unit. Sorted by rank.
std::vector<AirPocket> air_pockets(const CutCells& cavity, const std::vector<std::uint32_t>& vent_cells,
                                   const Eigen::Vector3d& up, const PocketSettings& settings = {});

// The share of the cavity's volume that is full when the front reaches each of these heights along `up`.
std::vector<double> fill_shares(const CutCells& cavity, const Eigen::Vector3d& up,
                                const std::vector<double>& heights_mm);

}  // namespace boxfettle
