// A sparse grid of cubic cells, kept in strips of 16 along x: only strips that hold a cell of interest exist.
//
// Values live in plain arrays: first all cells of even x, eight to a strip, then all of odd x in the same
// order; strips are sorted by z, then y, then x. So cells of one colour of the checkerboard stand together,
// and the neighbour along x is the neighbour in memory, in the other half. Neighbours along y and z are found
// through the strip. Where there is none, slot 0 answers: a strip of nothing, whose values stay zero. One
// more strip of zeros ends each half, so that the neighbour along x of the last cell can be read.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace boxfettle {

struct StripGrid {
  static constexpr std::uint32_t length = 16;
  static constexpr std::uint32_t half_length = 8;
  static constexpr std::uint32_t no_cell = 0;

  struct Strip {
    std::uint32_t y_low, y_high, z_low, z_high;  // slots of the neighbours; 0 for none
    std::uint16_t x, y, z;                       // x counts strips, y and z cells
  };

  // One of the six faces of a cell: what belongs to a face stands with the cell on its low side.
  struct Face {
    int axis;
    std::uint32_t holder, other;  // the cell across is somewhere in the array even where it is none
  };

  std::array<int, 3> cells{};              // the whole box, along x a multiple of 16
  std::vector<Strip> strips;               // strips[0] is the strip of nothing
  std::vector<std::uint32_t> plane_start;  // of plane z, and one more: slots run from 1
  std::vector<std::uint32_t> slots;        // of every place, 0 for none

  int strips_along_x() const { return cells[0] / static_cast<int>(length); }
  std::uint32_t odd_half() const { return static_cast<std::uint32_t>(strips.size() + 1) * half_length; }
  std::size_t value_count() const { return std::size_t{odd_half()} * 2; }

  // The strip that holds these cells, 0 outside and where there is none.
  std::uint32_t slot(int strip_x, int y, int z) const {
    if (strip_x < 0 || y < 0 || z < 0 || strip_x >= strips_along_x() || y >= cells[1] || z >= cells[2])
      return 0;
    return slots[(static_cast<std::size_t>(z) * static_cast<std::size_t>(cells[1]) +
                  static_cast<std::size_t>(y)) *
                     static_cast<std::size_t>(strips_along_x()) +
                 static_cast<std::size_t>(strip_x)];
  }

  // A cell's index in every array of values.
  std::uint32_t cell_in(std::uint32_t slot, std::uint32_t lane) const {
    return (lane & 1u) * odd_half() + slot * half_length + lane / 2;
  }
  std::uint32_t cell(int x, int y, int z) const {  // no_cell where there is none
    const std::uint32_t at = x < 0 ? 0 : slot(x / 16, y, z);
    return at == 0 ? no_cell : cell_in(at, static_cast<std::uint32_t>(x % 16));
  }
  std::uint32_t slot_of(std::uint32_t cell) const { return cell % odd_half() / half_length; }
  std::array<int, 3> place(std::uint32_t cell) const {
    const std::uint32_t odd = cell / odd_half();
    const Strip& strip = strips[slot_of(cell)];
    return {strip.x * 16 + static_cast<int>(cell % half_length * 2 + odd), strip.y, strip.z};
  }
  std::array<Face, 6> faces(std::uint32_t cell) const;  // +x, -x, +y, -y, +z, -z
};

struct StripPlace {
  std::uint16_t x, y, z;
};

// `places` sorted by z, y, x, without repeats. Box at most 65,535 cells each way.
StripGrid strip_grid(const std::array<int, 3>& cells, std::span<const StripPlace> places);

// The grid of cells twice as large that covers the same cells.
StripGrid coarser(const StripGrid& fine);

}  // namespace boxfettle
