// Faces that touch but do not know of each other, made into bodies.
#pragma once

#include <TopoDS_Shape.hxx>
#include <cstddef>
#include <vector>

namespace boxfettle {

struct Sewn {
  std::vector<TopoDS_Shape> solids;  // one for each closed shell
  std::size_t open_edges = 0;        // left where no other face was near enough
};

// Edges up to 0.01 mm apart become one: more than the rounding of any export, less than any clearance of a
// box.
Sewn sewn(const TopoDS_Shape& faces);

}  // namespace boxfettle
