// How the surface runs through one cubic cell, from the signs at its eight corners.
//
// Corner i stands at (i & 1, i >> 1 & 1, i >> 2 & 1). Edge 4a + u + 2v runs along axis a, at u and v along
// the next two axes in turn. Face 2a + s is the one at s along axis a.
#pragma once

#include <array>
#include <cstdint>

namespace boxfettle {

struct CellSheets {
  std::array<std::int8_t, 12> of_edge{};  // the sheet through each edge; -1 where the edge is not crossed
  int count = 0;
};

// `inside` has bit i set when corner i is inside. On an ambiguous face (inside corners across a diagonal) the
// inside corners are taken as apart, unless the face's bit is set in `joined_faces`.
CellSheets cell_sheets(unsigned inside, unsigned joined_faces);

// The same with no face joined, from a table.
const CellSheets& cell_sheets(unsigned inside);

// Whether `face` is ambiguous and yet one sheet runs through all four of its edges. When both cells at a face
// say so, two strips of surface would share one edge: the face must then be joined in both.
bool one_sheet_twice(unsigned inside, int face);

// The other face's number of the neighbour that shares `face`.
constexpr int opposite(int face) {
  return face ^ 1;
}

}  // namespace boxfettle
