// Points about a surface, for trying distances on.
#pragma once

#include <cstdint>

#include "geometry/point_cloud.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle::demo {

// Places drawn over the triangles, each moved by a normal deviate of `spread_mm` along x, y and z. In no
// order.
PointCloud points_about(const TriangleMesh& mesh, std::size_t count, double spread_mm, std::uint64_t seed);

}  // namespace boxfettle::demo
