// A round opening in the cavity's wall as the grid sees it: which cells it drinks from, and how well.
//
// A disc of radius a at one pressure takes 4 k a out of a half space (Weber's electrified disc; k the
// medium's conductivity). The grid's cells, laid under the disc as they are, would take another amount: too
// little when the disc is smaller than a voxel, some 10 % too little even at three voxels radius for a
// staircase of full cells, too much for all cells it touches. So the cells' conductances are scaled by one
// factor that makes a flat wall in the same place and direction pass 4 k a exactly, found on a small grid
// around the opening whose border holds the disc's own field.
#pragma once

#include <vector>

#include "geometry/cut_cells.hpp"

namespace boxfettle {

struct PatchCell {
  std::uint32_t cell;
  double conductance;  // to the disc, in units of k times the voxel
};

struct WallDisc {
  Eigen::Vector3d at_mm;   // on the wall
  Eigen::Vector3d inward;  // unit, from the wall into the cavity
  double radius_mm;
};

// Empty when no cell of the cavity lies under the disc.
std::vector<PatchCell> wall_patch(const CutCells& cavity, const WallDisc& disc);

}  // namespace boxfettle
