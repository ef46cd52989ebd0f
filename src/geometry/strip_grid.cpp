#include "geometry/strip_grid.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>

namespace boxfettle {

std::array<StripGrid::Face, 6> StripGrid::faces(std::uint32_t cell) const {
  const std::uint32_t odd = cell / odd_half();
  const Strip& strip = strips[slot_of(cell)];
  const std::uint32_t lane = odd * odd_half() + cell % half_length;
  const std::uint32_t x_high = odd != 0 ? cell - odd_half() + 1 : cell + odd_half();
  const std::uint32_t x_low = odd != 0 ? cell - odd_half() : cell + odd_half() - 1;
  const auto at = [&](std::uint32_t slot) { return slot * half_length + lane; };
  return {{{0, cell, x_high},
           {0, x_low, x_low},
           {1, cell, at(strip.y_high)},
           {1, at(strip.y_low), at(strip.y_low)},
           {2, cell, at(strip.z_high)},
           {2, at(strip.z_low), at(strip.z_low)}}};
}

StripGrid strip_grid(const std::array<int, 3>& cells, std::span<const StripPlace> places) {
  StripGrid grid;
  grid.cells = {(cells[0] + 15) / 16 * 16, cells[1], cells[2]};
  const auto along_x = static_cast<std::size_t>(grid.strips_along_x());
  const auto along_y = static_cast<std::size_t>(grid.cells[1]);
  grid.slots.assign(along_x * along_y * static_cast<std::size_t>(grid.cells[2]), 0);
  grid.strips.resize(places.size() + 1);
  grid.plane_start.assign(static_cast<std::size_t>(grid.cells[2]) + 1, 1);
  for (std::size_t i = 0; i < places.size(); ++i) {
    const StripPlace& at = places[i];
    grid.slots[(at.z * along_y + at.y) * along_x + at.x] = static_cast<std::uint32_t>(i + 1);
    ++grid.plane_start[at.z + 1u];
  }
  for (std::size_t z = 1; z < grid.plane_start.size(); ++z)
    grid.plane_start[z] += grid.plane_start[z - 1] - 1;
  tbb::parallel_for(std::size_t{0}, places.size(), [&](std::size_t i) {
    const StripPlace& at = places[i];
    grid.strips[i + 1] = {grid.slot(at.x, at.y - 1, at.z),
                          grid.slot(at.x, at.y + 1, at.z),
                          grid.slot(at.x, at.y, at.z - 1),
                          grid.slot(at.x, at.y, at.z + 1),
                          at.x,
                          at.y,
                          at.z};
  });
  return grid;
}

StripGrid coarser(const StripGrid& fine) {
  const auto half = [](int n) { return (n + 1) / 2; };
  const std::array<int, 3> cells{(half(fine.strips_along_x())) * 16, half(fine.cells[1]),
                                 half(fine.cells[2])};
  std::vector<StripPlace> places;
  places.reserve(fine.strips.size() / 4);
  for (int z = 0; z < cells[2]; ++z)
    for (int y = 0; y < cells[1]; ++y)
      for (int x = 0; x < cells[0] / 16; ++x) {
        std::uint32_t any = 0;
        for (int child = 0; child < 8; ++child)
          any |= fine.slot(2 * x + (child & 1), 2 * y + (child >> 1 & 1), 2 * z + (child >> 2));
        if (any != 0)
          places.push_back(
              {static_cast<std::uint16_t>(x), static_cast<std::uint16_t>(y), static_cast<std::uint16_t>(z)});
      }
  return strip_grid(cells, places);
}

}  // namespace boxfettle
