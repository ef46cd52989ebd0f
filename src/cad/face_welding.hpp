// The triangles of a body's faces joined along the edges that the faces share.
//
// Neighbouring faces are triangulated over the same points of their common edge, so corners are joined by the
// edge they stand on and their number along it: no tolerance, and no two places that happen to be near.
#pragma once

#include <TopoDS_Shape.hxx>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

struct WeldedFaces {
  TriangleMesh mesh;
  bool every_face_meshed = true;
};

// Of a body that BRepMesh has triangulated.
WeldedFaces welded_faces(const TopoDS_Shape& body);

}  // namespace boxfettle
