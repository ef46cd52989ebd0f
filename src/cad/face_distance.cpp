#include "cad/face_distance.hpp"

#include <BRepAdaptor_Surface.hxx>
#include <BRep_Tool.hxx>
#include <GeomAbs_SurfaceType.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopLoc_Location.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace boxfettle {
namespace {

// A place on a face: in space, and by the surface's own two parameters.
struct Node {
  gp_XYZ at;
  gp_XY uv;
};

using Corners = std::array<Node, 3>;

// Newton's way to the foot of the perpendicular, from parameters near it. The distance to any point of the
// surface is at least the distance to the surface, so the best one met is never too small.
double distance_mm(const BRepAdaptor_Surface& surface, const gp_XYZ& at, gp_XY uv) {
  constexpr int steps = 3;
  double nearest_mm = std::numeric_limits<double>::infinity();
  for (int step = 0; step <= steps; ++step) {
    gp_Pnt foot;
    gp_Vec along_u, along_v;
    surface.D1(uv.X(), uv.Y(), foot, along_u, along_v);
    const gp_Vec offset(at - foot.XYZ());
    nearest_mm = std::min(nearest_mm, offset.Magnitude());
    const double uu = along_u.Dot(along_u), uw = along_u.Dot(along_v), ww = along_v.Dot(along_v);
    const double determinant = uu * ww - uw * uw;
    if (!(determinant > 1e-12 * uu * ww)) break;  // a pole: one parameter moves nothing
    const double u = along_u.Dot(offset), v = along_v.Dot(offset);
    uv += gp_XY(ww * u - uw * v, uu * v - uw * u) / determinant;
  }
  return std::isfinite(nearest_mm) ? nearest_mm : 0;  // a surface that has no place here has no distance
}

// Of the place between the corners that `weights` tell. Near a pole the middle of the parameters is far from
// the middle in space; the way from one of the corners is then the better one.
double distance_mm(const BRepAdaptor_Surface& surface, const Corners& corners, const gp_XYZ& weights,
                   double enough_mm) {
  gp_XYZ at;
  gp_XY uv;
  for (int i = 0; i < 3; ++i) {
    at += corners[static_cast<std::size_t>(i)].at * weights.Coord(i + 1);
    uv += corners[static_cast<std::size_t>(i)].uv * weights.Coord(i + 1);
  }
  double nearest_mm = distance_mm(surface, at, uv);
  for (const Node& corner : corners)
    if (nearest_mm > enough_mm) nearest_mm = std::min(nearest_mm, distance_mm(surface, at, corner.uv));
  return nearest_mm;
}

double farthest_from_face_mm(const TopoDS_Face& face, double enough_mm) {
  TopLoc_Location place;
  const auto triangles = BRep_Tool::Triangulation(face, place);
  const BRepAdaptor_Surface surface(face, false);
  if (triangles.IsNull() || !triangles->HasUVNodes() || surface.GetType() == GeomAbs_Plane) return 0;
  const gp_Trsf to_body = place.Transformation();
  const auto node = [&](int i) {
    return Node{triangles->Node(i).Transformed(to_body).XYZ(), triangles->UVNode(i).XY()};
  };
  const std::array<gp_XYZ, 4> middles{gp_XYZ(0.5, 0.5, 0), gp_XYZ(0, 0.5, 0.5), gp_XYZ(0.5, 0, 0.5),
                                      gp_XYZ(1, 1, 1) / 3};
  double farthest_mm = 0;
  for (int t = 1; t <= triangles->NbTriangles(); ++t) {
    int i = 0, j = 0, k = 0;
    triangles->Triangle(t).Get(i, j, k);
    const Corners corners{node(i), node(j), node(k)};
    for (const gp_XYZ& middle : middles)
      farthest_mm = std::max(farthest_mm, distance_mm(surface, corners, middle, enough_mm));
  }
  return farthest_mm;
}

}  // namespace

double farthest_from_faces_mm(const TopoDS_Shape& body, double enough_mm) {
  double farthest_mm = 0;
  for (TopExp_Explorer face(body, TopAbs_FACE); face.More(); face.Next())
    farthest_mm = std::max(farthest_mm, farthest_from_face_mm(TopoDS::Face(face.Current()), enough_mm));
  return farthest_mm;
}

}  // namespace boxfettle
