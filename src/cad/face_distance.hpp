// How far a body's triangles stray from the faces they stand for, measured: BRepMesh takes the deflection as
// a wish, and on a ball was seen to miss it twofold.
#pragma once

#include <TopoDS_Shape.hxx>

namespace boxfettle {

// The largest distance from the middle of a triangle or of one of its sides to the face's surface, in mm.
// Never too small; what is found to be within `enough_mm` is not looked at closer. Of a body that BRepMesh
// has triangulated.
double farthest_from_faces_mm(const TopoDS_Shape& body, double enough_mm);

}  // namespace boxfettle
