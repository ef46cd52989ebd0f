// The large flat faces in a scan, from oriented points: candidates for a tool's parting face.
#pragma once

#include <span>
#include <vector>

#include "reading/oriented_points.hpp"

namespace boxfettle {

struct FlatFace {
  Eigen::Vector3d centre_mm;
  Eigen::Vector3d normal;  // unit; its sign means nothing
  std::size_t points = 0;  // of those given, that lie in it
};

// Largest first, at most `most`; mutually distinct. Every point in turn proposes the plane it lies in; the
// plane that holds the most others is fitted to them and its points are taken out.
std::vector<FlatFace> flat_faces(std::span<const OrientedPoint> points, double within_mm, std::size_t most);

}  // namespace boxfettle
