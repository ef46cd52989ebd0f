// A chunk of query points as the searches by packet want them: each coordinate in a row of its own, as the
// sum of two floats.
#pragma once

#include <array>
#include <cstddef>

namespace boxfettle {

struct PacketPoints {
  static constexpr std::size_t most = 2048;
  static constexpr std::size_t packet = 8;  // rows are filled up to whole packets by repeating the last point

  alignas(64) std::array<std::array<float, most>, 3> high;
  alignas(64) std::array<std::array<float, most>, 3> low;
  std::size_t count = 0;

  std::size_t padded() const { return (count + packet - 1) / packet * packet; }
};

}  // namespace boxfettle
