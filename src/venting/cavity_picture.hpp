// A study's cavity as a block of equal cells, for a viewer that cuts it open: how late gas comes to each,
// when it fills, and where air is shut in.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "venting/air_pockets.hpp"
#include "venting/residence.hpp"

namespace boxfettle {

struct CavityPicture {
  Eigen::Vector3d low_mm = Eigen::Vector3d::Zero();  // lowest corner
  double cell_mm = 0;                                // a whole number of the study's voxels
  std::array<int, 3> cells{};
  // x runs fastest. Cells beside the cavity carry their neighbours' values, so that a viewer may look between
  // cells.
  std::vector<float> inside;  // part of the cell, 0..1
  std::vector<float> age_s;
  std::vector<float> fills_at;  // share of the cavity that is full when the level front comes here
  std::vector<char> in_pocket;

  std::size_t count() const { return inside.size(); }
};

// At most about `most_cells`.
CavityPicture cavity_picture(const GasFlow& flow, const Residence& ages,
                             const std::vector<AirPocket>& pockets, const Eigen::Vector3d& up,
                             std::size_t most_cells);

}  // namespace boxfettle
