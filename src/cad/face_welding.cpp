#include "cad/face_welding.hpp"

#include <BRep_Tool.hxx>
#include <Poly_PolygonOnTriangulation.hxx>
#include <Poly_Triangulation.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopLoc_Location.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <numeric>
#include <vector>

#include "geometry/mesh_cleaning.hpp"

namespace boxfettle {
namespace {

using Corner = std::uint32_t;

// Which corners are one: each stands for itself or points on towards the one that stands for it.
class JoinedCorners {
 public:
  explicit JoinedCorners(std::size_t count) : towards_(count) {
    std::iota(towards_.begin(), towards_.end(), 0u);
  }

  Corner standing_for(Corner corner) {
    while (towards_[corner] != corner) corner = towards_[corner] = towards_[towards_[corner]];
    return corner;
  }
  void join(Corner a, Corner b) { towards_[standing_for(b)] = standing_for(a); }

 private:
  std::vector<Corner> towards_;
};

struct MeshedFace {
  TopoDS_Face face;
  TopLoc_Location place;
  Handle(Poly_Triangulation) triangles;
  Corner first_corner;  // of all faces' corners in one row
};

Corner corner(const MeshedFace& face, int node) {
  return face.first_corner + static_cast<Corner>(node - 1);
}

std::vector<MeshedFace> meshed_faces(const TopoDS_Shape& body, WeldedFaces& welded) {
  TopTools_IndexedMapOfShape seen;
  std::vector<MeshedFace> faces;
  Corner next = 0;
  for (TopExp_Explorer each(body, TopAbs_FACE); each.More(); each.Next()) {
    if (seen.Contains(each.Current())) continue;
    seen.Add(each.Current());
    MeshedFace face{TopoDS::Face(each.Current()), {}, {}, next};
    face.triangles = BRep_Tool::Triangulation(face.face, face.place);
    if (face.triangles.IsNull()) {
      welded.every_face_meshed = false;
      continue;
    }
    next += static_cast<Corner>(face.triangles->NbNodes());
    faces.push_back(face);
  }
  return faces;
}

std::vector<Corner> corners_along(const TopoDS_Edge& edge, const MeshedFace& face) {
  const auto& polygon = BRep_Tool::PolygonOnTriangulation(edge, face.triangles, face.place);
  std::vector<Corner> corners;
  if (polygon.IsNull()) return corners;
  for (int i = 1; i <= polygon->NbNodes(); ++i) corners.push_back(corner(face, polygon->Node(i)));
  return corners;
}

JoinedCorners joined_along_edges(const std::vector<MeshedFace>& faces, std::size_t corners) {
  JoinedCorners joined(corners);
  TopTools_IndexedMapOfShape edges;  // by place, whichever way round
  std::vector<std::vector<Corner>> along;
  for (const MeshedFace& face : faces) {
    for (TopExp_Explorer each(face.face, TopAbs_EDGE); each.More(); each.Next()) {
      const TopoDS_Edge& edge = TopoDS::Edge(each.Current());
      const std::vector<Corner> here = corners_along(edge, face);
      if (here.empty()) continue;
      // The pole of a ball or the tip of a cone is an edge without length.
      if (BRep_Tool::Degenerated(edge))
        for (const Corner at : here) joined.join(here.front(), at);
      const auto number = static_cast<std::size_t>(edges.Add(edge));
      if (number > along.size()) along.push_back(here);
      const std::vector<Corner>& there = along[number - 1];
      if (there.size() == here.size())
        for (std::size_t i = 0; i < here.size(); ++i) joined.join(there[i], here[i]);
    }
  }
  return joined;
}

void add_triangles(const MeshedFace& face, JoinedCorners& joined, TriangleMesh& mesh) {
  const bool turned = face.face.Orientation() == TopAbs_REVERSED;
  for (int i = 1; i <= face.triangles->NbTriangles(); ++i) {
    int a = 0, b = 0, c = 0;
    face.triangles->Triangle(i).Get(a, b, c);
    if (turned) std::swap(b, c);
    const Triangle triangle{joined.standing_for(corner(face, a)), joined.standing_for(corner(face, b)),
                            joined.standing_for(corner(face, c))};
    mesh.triangles.push_back(triangle);
  }
}

void add_corners(const MeshedFace& face, TriangleMesh& mesh) {
  const gp_Trsf to_body = face.place.Transformation();
  for (int i = 1; i <= face.triangles->NbNodes(); ++i) {
    const gp_Pnt at = face.triangles->Node(i).Transformed(to_body);
    mesh.vertices.emplace_back(at.X(), at.Y(), at.Z());
  }
}

}  // namespace

WeldedFaces welded_faces(const TopoDS_Shape& body) {
  WeldedFaces welded;
  const std::vector<MeshedFace> faces = meshed_faces(body, welded);
  for (const MeshedFace& face : faces) add_corners(face, welded.mesh);
  JoinedCorners joined = joined_along_edges(faces, welded.mesh.vertices.size());
  for (const MeshedFace& face : faces) add_triangles(face, joined, welded.mesh);
  std::erase_if(welded.mesh.triangles,
                [](const Triangle& t) { return t[0] == t[1] || t[1] == t[2] || t[2] == t[0]; });
  drop_unused_vertices(welded.mesh);
  return welded;
}

}  // namespace boxfettle
