// The cavity seen square to the parting face: the outline that the face cuts out of it, and its shadow.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "corebox/core_box.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

using PartingLine = std::vector<Eigen::Vector2d>;  // closed, in the face's own axes, the cavity on its left

struct CavityFootprint {
  // Where the parting face cuts the cavity; for a cavity that lies on one side of the face, a hair off it.
  std::vector<PartingLine> outlines;
  double section_area_mm2 = 0;
  Eigen::Vector2d section_centroid_mm = {0, 0};
  // The shadow: what blow pressure pushes on, and what grows when the halves part. Equal to the section for
  // every cavity that leaves its box; larger when the face is stepped.
  double projected_area_mm2 = 0;
  Eigen::Vector2d centroid_mm = {0, 0};   // of the shadow
  std::vector<Eigen::Vector2d> cells_mm;  // evenly spread over the shadow, each standing for the same area
  double cavity_volume_mm3 = 0;
  double longest_mm = 0;  // largest extent of the design along its own axes

  std::vector<Eigen::Vector2d> outline_points_mm() const;
  double cell_area_mm2() const {
    return cells_mm.empty() ? 0 : projected_area_mm2 / static_cast<double>(cells_mm.size());
  }
};

CavityFootprint cavity_footprint(const TriangleMesh& design_mm, const PartingFace& parting);

}  // namespace boxfettle
