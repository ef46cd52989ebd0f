#include "cad/sewing.hpp"

#include <BRepBuilderAPI_MakeSolid.hxx>
#include <BRepBuilderAPI_Sewing.hxx>
#include <BRepLib.hxx>
#include <BRep_Tool.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Solid.hxx>

namespace boxfettle {
namespace {

constexpr double nearest_mm = 0.01;

}  // namespace

Sewn sewn(const TopoDS_Shape& faces) {
  BRepBuilderAPI_Sewing sewing(nearest_mm);
  for (TopExp_Explorer face(faces, TopAbs_FACE); face.More(); face.Next()) sewing.Add(face.Current());
  sewing.Perform();
  Sewn result;
  result.open_edges = static_cast<std::size_t>(sewing.NbFreeEdges());
  for (TopExp_Explorer shell(sewing.SewedShape(), TopAbs_SHELL); shell.More(); shell.Next()) {
    if (!BRep_Tool::IsClosed(shell.Current())) continue;
    TopoDS_Solid solid = BRepBuilderAPI_MakeSolid(TopoDS::Shell(shell.Current())).Solid();
    BRepLib::OrientClosedSolid(solid);
    result.solids.push_back(solid);
  }
  return result;
}

}  // namespace boxfettle
