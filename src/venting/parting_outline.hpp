// The cavity's outline in the parting face, in short pieces: where an open parting face leaks.
#pragma once

#include <vector>

#include "corebox/core_box.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

struct OutlinePiece {
  Eigen::Vector3d at_design_mm;  // its middle
  double length_mm;
};

std::vector<OutlinePiece> parting_outline(const TriangleMesh& design, const PartingFace& parting);

}  // namespace boxfettle
