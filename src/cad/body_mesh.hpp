// One body's curved faces made into triangles that close.
#pragma once

#include <TopoDS_Shape.hxx>
#include <cstdint>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

struct BodyMeshing {
  double deflection_mm = 0.015;  // how far a triangle may stray from its face
  double angle_rad = 0.35;       // how far the normal may turn across a triangle: small fillets stay round
  std::uint32_t most_triangles = 500'000;
};

struct BodyMesh {
  TriangleMesh mesh;     // counter-clockwise seen from outside; faces share the corners along their edges
  double deflection_mm;  // as wanted, or how far the triangles stray if that is more
  bool coarsened;        // it is more
  bool whole;            // false: a face was given up, being broken or wanting more memory than there is
  bool closed;           // false: not whole, or the body's faces do not share their edges
};

// Coarse first, then finer as long as the triangles stay within their number.
BodyMesh body_mesh(const TopoDS_Shape& body, const BodyMeshing& wanted);

}  // namespace boxfettle
