#include "cad/body_mesh.hpp"

#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepTools.hxx>
#include <BRep_Tool.hxx>
#include <IMeshTools_Parameters.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopLoc_Location.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <utility>

#include "cad/face_distance.hpp"
#include "cad/face_welding.hpp"
#include "geometry/mesh_topology.hpp"

namespace boxfettle {
namespace {

void triangulate(const TopoDS_Shape& body, double deflection_mm, double angle_rad) {
  BRepTools::Clean(body);
  IMeshTools_Parameters parameters;
  parameters.Deflection = deflection_mm;
  parameters.Angle = angle_rad;
  parameters.InParallel = true;
  BRepMesh_IncrementalMesh(body, parameters);
}

struct Attempt {
  double deflection_mm;
  std::uint64_t triangles = 0;
  bool whole = true;  // no face was given up, for want of memory or because it is broken
};

// Leaves the body triangulated so.
Attempt attempt(const TopoDS_Shape& body, double deflection_mm, double angle_rad) {
  triangulate(body, deflection_mm, angle_rad);
  Attempt made{deflection_mm};
  for (TopExp_Explorer face(body, TopAbs_FACE); face.More(); face.Next()) {
    TopLoc_Location place;
    const auto triangles = BRep_Tool::Triangulation(TopoDS::Face(face.Current()), place);
    if (triangles.IsNull())
      made.whole = false;
    else
      made.triangles += static_cast<std::uint64_t>(triangles->NbTriangles());
  }
  return made;
}

// A first look, coarse, and from there in one or two steps: triangles grow no faster than deflection shrinks
// (on a ball as fast, on a cylinder by its root), so their number is known before the work is done. Leaves
// the body triangulated as told.
Attempt finest_within(const TopoDS_Shape& body, const BodyMeshing& wanted) {
  constexpr double first_look = 16, worth_a_step = 0.75;
  const auto try_at = [&](double deflection_mm) { return attempt(body, deflection_mm, wanted.angle_rad); };
  Attempt best = try_at(wanted.deflection_mm * first_look);
  for (int i = 0; best.triangles > wanted.most_triangles && i < 8; ++i) best = try_at(2 * best.deflection_mm);
  for (;;) {
    const double full = static_cast<double>(best.triangles) / wanted.most_triangles;
    const double next_mm = std::max(wanted.deflection_mm, best.deflection_mm * full);
    if (next_mm > worth_a_step * best.deflection_mm) return best;
    const Attempt finer = try_at(next_mm);
    if ((best.whole && !finer.whole) || finer.triangles > wanted.most_triangles)
      return try_at(best.deflection_mm);
    best = finer;
  }
}

// Returns how far the triangles stray after as much refining as the wish and the number of triangles ask for.
double triangulate_within(const TopoDS_Shape& body, const BodyMeshing& wanted) {
  constexpr int most_rounds = 3;
  Attempt best = finest_within(body, wanted);
  double strays_mm = farthest_from_faces_mm(body, wanted.deflection_mm);
  for (int round = 0; round < most_rounds && strays_mm > wanted.deflection_mm; ++round) {
    if (best.deflection_mm > wanted.deflection_mm) break;  // the triangles are at their number
    const double share = std::max(0.3, 0.9 * wanted.deflection_mm / strays_mm);
    const Attempt finer = attempt(body, best.deflection_mm * share, wanted.angle_rad);
    if (!finer.whole || finer.triangles > wanted.most_triangles) {
      attempt(body, best.deflection_mm, wanted.angle_rad);
      break;
    }
    best = finer;
    strays_mm = farthest_from_faces_mm(body, wanted.deflection_mm);
  }
  return strays_mm;
}

void turn_outside_out(TriangleMesh& mesh) {
  if (enclosed_volume_mm3(mesh) >= 0) return;
  for (Triangle& corners : mesh.triangles) std::swap(corners[1], corners[2]);
}

}  // namespace

BodyMesh body_mesh(const TopoDS_Shape& body, const BodyMeshing& wanted) {
  const double strays_mm = triangulate_within(body, wanted);
  WeldedFaces welded = welded_faces(body);
  turn_outside_out(welded.mesh);
  const MeshTopology topology = mesh_topology(welded.mesh);
  const bool whole = welded.every_face_meshed && !welded.mesh.triangles.empty();
  return {.mesh = std::move(welded.mesh),
          .deflection_mm = std::max(strays_mm, wanted.deflection_mm),
          .coarsened = strays_mm > wanted.deflection_mm,
          .whole = whole,
          .closed = whole && topology.closed() && topology.contradicting_edges == 0};
}

}  // namespace boxfettle
