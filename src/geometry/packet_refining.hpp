// The exact distance of many points, each to one triangle, where the nearest place lies inside that triangle.
#pragma once

#include <cstdint>
#include <span>

#include "geometry/packet_points.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// Computed in double. `signed_mm` gets the height of each point over its triangle (positive on the side the
// triangle faces), or NaN when its nearest place is on an edge or a corner, when the triangle is a sliver
// (sine of its corner below 1e-6) or when it is `no_triangle`: such points need another look. Both spans are
// as long as `points.padded()`.
void heights_over_triangles(const TriangleMesh& mesh, const PacketPoints& points,
                            std::span<const std::uint32_t> triangle, std::span<double> signed_mm);

}  // namespace boxfettle
