// Invented parts and STEP files of them, for the tests: what the reader is tried on is written by the same
// library, and judged by closed forms.
#pragma once

#include <BRepAlgoAPI_Cut.hxx>
#include <BRepAlgoAPI_Fuse.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <BRep_Builder.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_Printer.hxx>
#include <STEPControl_Controller.hxx>
#include <STEPControl_Writer.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS_Compound.hxx>
#include <filesystem>
#include <fstream>
#include <initializer_list>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace boxfettle::cad {

inline TopoDS_Shape block(double x_mm, double y_mm, double z_mm) {
  return BRepPrimAPI_MakeBox(x_mm, y_mm, z_mm).Shape();
}
inline TopoDS_Shape cylinder(double radius_mm, double height_mm) {
  return BRepPrimAPI_MakeCylinder(radius_mm, height_mm).Shape();
}
inline TopoDS_Shape ball(double radius_mm) {
  return BRepPrimAPI_MakeSphere(radius_mm).Shape();
}
inline TopoDS_Shape cone(double radius_mm, double height_mm) {
  return BRepPrimAPI_MakeCone(radius_mm, 0, height_mm).Shape();
}
inline TopoDS_Shape ring(double radius_mm, double thickness_radius_mm) {
  return BRepPrimAPI_MakeTorus(radius_mm, thickness_radius_mm).Shape();
}
inline TopoDS_Shape moved(const TopoDS_Shape& shape, double x_mm, double y_mm, double z_mm) {
  gp_Trsf move;
  move.SetTranslation(gp_Vec(x_mm, y_mm, z_mm));
  return shape.Moved(TopLoc_Location(move));
}
inline TopoDS_Shape cut(const TopoDS_Shape& from, const TopoDS_Shape& away) {
  return BRepAlgoAPI_Cut(from, away).Shape();
}
inline TopoDS_Shape fused(const TopoDS_Shape& one, const TopoDS_Shape& other) {
  return BRepAlgoAPI_Fuse(one, other).Shape();
}
inline TopoDS_Compound together(const std::vector<TopoDS_Shape>& shapes) {
  TopoDS_Compound all;
  BRep_Builder().MakeCompound(all);
  for (const TopoDS_Shape& shape : shapes) BRep_Builder().Add(all, shape);
  return all;
}
// The faces alone, each with edges of its own; without the first `left_out`.
inline TopoDS_Compound loose_faces(const TopoDS_Shape& body, int left_out = 0) {
  TopoDS_Compound all;
  BRep_Builder().MakeCompound(all);
  for (TopExp_Explorer face(body, TopAbs_FACE); face.More(); face.Next())
    if (--left_out < 0) BRep_Builder().Add(all, face.Current());
  return all;
}

struct StepWriting {
  std::string unit = "MM";  // "INCH", "M"
  bool assembly = false;    // parts and their places, instead of shapes already moved
  STEPControl_StepModelType as = STEPControl_AsIs;
};

inline void write_step(const TopoDS_Shape& shape, const std::filesystem::path& path,
                       const StepWriting& writing = {}) {
  Message::DefaultMessenger()->RemovePrinters(STANDARD_TYPE(Message_Printer));
  STEPControl_Controller::Init();  // makes the settings below known; a writer takes them when it is made
  Interface_Static::SetCVal("write.step.unit", writing.unit.c_str());
  Interface_Static::SetIVal("write.step.assembly", writing.assembly ? 1 : 0);
  STEPControl_Writer writer;
  writer.Transfer(shape, writing.as);
  if (writer.Write(path.c_str()) != IFSelect_RetDone)
    throw std::runtime_error("no STEP file could be written");
}

}  // namespace boxfettle::cad
