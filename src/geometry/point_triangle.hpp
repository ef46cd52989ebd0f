// The nearest place of one triangle.
#pragma once

#include <Eigen/Geometry>
#include <cstdint>

namespace boxfettle {

// Which part of a triangle is nearest: a corner, an edge (from corner e to e + 1), or the inside.
enum class TrianglePart : std::uint8_t { corner0, corner1, corner2, edge0, edge1, edge2, inside };

struct TrianglePlace {
  Eigen::Vector3d at_mm;
  TrianglePart part;
};

// By Voronoi regions of the corners and edges, after Ericson, Real-Time Collision Detection (2005), 5.1.5.
inline TrianglePlace closest_on_triangle(const Eigen::Vector3d& p, const Eigen::Vector3d& a,
                                         const Eigen::Vector3d& b, const Eigen::Vector3d& c) {
  const Eigen::Vector3d ab = b - a, ac = c - a, ap = p - a;
  const double d1 = ab.dot(ap), d2 = ac.dot(ap);
  if (d1 <= 0 && d2 <= 0) return {a, TrianglePart::corner0};

  const Eigen::Vector3d bp = p - b;
  const double d3 = ab.dot(bp), d4 = ac.dot(bp);
  if (d3 >= 0 && d4 <= d3) return {b, TrianglePart::corner1};

  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return {a + d1 / (d1 - d3) * ab, TrianglePart::edge0};

  const Eigen::Vector3d cp = p - c;
  const double d5 = ab.dot(cp), d6 = ac.dot(cp);
  if (d6 >= 0 && d5 <= d6) return {c, TrianglePart::corner2};

  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return {a + d2 / (d2 - d6) * ac, TrianglePart::edge2};

  const double va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0)
    return {b + (d4 - d3) / ((d4 - d3) + (d5 - d6)) * (c - b), TrianglePart::edge1};

  const double scale = 1 / (va + vb + vc);
  return {a + vb * scale * ab + vc * scale * ac, TrianglePart::inside};
}

}  // namespace boxfettle
