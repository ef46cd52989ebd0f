// The worst shift along an outline over all positions of the upper half: the span of angles and the outline
// are halved wherever a worse one may still hide.
#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <span>
#include <vector>

#include "closing/play_slice.hpp"

namespace boxfettle {

struct WorstShift {
  double mm = 0;  // how far apart the two halves' material can stand there
  Eigen::Vector2d at_parting_mm = {0, 0};
  HalfShift shift;  // the position of the upper half that does it
};

// To 1e-8 mm. `slices`: an odd number, three at least, through the whole span of allowed angles.
// `outline_mm`: one place at least, neighbours side by side. docs/how/dowel-play.md
WorstShift worst_shift(std::span<const PinInBush> pins, std::span<const PlaySlice> slices,
                       std::span<const Eigen::Vector2d> outline_mm);

}  // namespace boxfettle
