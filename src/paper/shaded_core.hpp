// A view of the core painted by deviation and lit so that its form reads.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "paper/core_view.hpp"
#include "paper/deviation_colours.hpp"

namespace boxfettle {

struct Picture {
  int width = 0, height = 0;
  std::vector<std::uint32_t> pixels;  // 0x00RRGGBB, rows from the top; white where nothing is
};

// `view` is drawn twice as fine as the picture wanted, each way; the picture is the mean of 2 x 2.
// Light darkens a colour by a third at most, so that the scale stays readable; edges of the form are drawn as
// thin dark lines.
struct Painting {
  std::span<const float> deviation_mm;     // per vertex, NaN where the scan saw nothing: hatched
  std::span<const std::uint16_t> finding;  // per vertex, 0 = none: places are outlined, also within the limit
  ColourScale scale;
};
Picture shaded_core(const TriangleMesh& mesh, const Painting& painting, const CoreView& view);

}  // namespace boxfettle
