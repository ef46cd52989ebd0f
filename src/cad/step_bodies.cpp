#include "cad/step_bodies.hpp"

#include <BRep_Builder.hxx>
#include <IFSelect_ReturnStatus.hxx>
#include <STEPControl_Reader.hxx>
#include <StepBasic_Product.hxx>
#include <StepBasic_ProductDefinition.hxx>
#include <StepBasic_ProductDefinitionFormation.hxx>
#include <StepData_StepModel.hxx>
#include <StepRepr_RepresentationItem.hxx>
#include <TColStd_SequenceOfAsciiString.hxx>
#include <TCollection_HAsciiString.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS_Compound.hxx>
#include <Transfer_TransientProcess.hxx>
#include <XSControl_TransferReader.hxx>
#include <XSControl_WorkSession.hxx>
#include <utility>

#include "cad/sewing.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

std::string text(const Handle(TCollection_HAsciiString) & name) {
  return name.IsNull() ? std::string() : std::string(name->ToCString());
}

std::string length_unit(STEPControl_Reader& reader) {
  TColStd_SequenceOfAsciiString lengths, angles, solid_angles;
  reader.FileUnits(lengths, angles, solid_angles);
  return lengths.IsEmpty() ? std::string() : std::string(lengths.First().ToCString());
}

// The names that the file gives to its shapes, wherever an assembly puts them.
class ShapeNames {
 public:
  explicit ShapeNames(STEPControl_Reader& reader) : read_(reader.WS()->TransferReader()) {
    const Handle(StepData_StepModel) model = reader.StepModel();
    for (int i = 1; i <= model->NbEntities(); ++i)
      if (const auto product = Handle(StepBasic_ProductDefinition)::DownCast(model->Value(i));
          !product.IsNull())
        add(product);
  }

  std::string of(const TopoDS_Shape& solid) const {
    const TopoDS_Shape at_home = solid.Located(TopLoc_Location());
    const auto item = Handle(StepRepr_RepresentationItem)::DownCast(read_->EntityFromShapeResult(at_home, 1));
    if (const std::string own = item.IsNull() ? "" : text(item->Name()); !own.empty()) return own;
    for (const auto& [shapes, name] : products_)
      if (shapes.Contains(at_home)) return name;
    return {};
  }

 private:
  // Parts only: an assembly's solids stand in it with their places.
  void add(const Handle(StepBasic_ProductDefinition) & definition) {
    const TopoDS_Shape shape = read_->ShapeResult(definition);
    if (shape.IsNull() || definition->Formation().IsNull()) return;
    const Handle(StepBasic_Product) product = definition->Formation()->OfProduct();
    if (product.IsNull()) return;
    TopTools_IndexedMapOfShape solids;
    for (TopExp_Explorer solid(shape, TopAbs_SOLID); solid.More(); solid.Next()) solids.Add(solid.Current());
    const std::string name = text(product->Name());
    products_.emplace_back(std::move(solids), name.empty() ? text(product->Id()) : name);
  }

  Handle(XSControl_TransferReader) read_;
  std::vector<std::pair<TopTools_IndexedMapOfShape, std::string>> products_;
};

std::vector<CadBody> solids(const TopoDS_Shape& shape, const ShapeNames& names) {
  TopTools_IndexedMapOfShape found;
  for (TopExp_Explorer solid(shape, TopAbs_SOLID); solid.More(); solid.Next())
    if (TopExp_Explorer(solid.Current(), TopAbs_FACE).More()) found.Add(solid.Current());
  std::vector<CadBody> bodies;
  for (int i = 1; i <= found.Extent(); ++i) bodies.push_back({found(i), names.of(found(i))});
  return bodies;
}

TopoDS_Compound faces_outside_solids(const TopoDS_Shape& shape, std::uint32_t& count) {
  TopoDS_Compound faces;
  BRep_Builder().MakeCompound(faces);
  for (TopExp_Explorer face(shape, TopAbs_FACE, TopAbs_SOLID); face.More(); face.Next(), ++count)
    BRep_Builder().Add(faces, face.Current());
  return faces;
}

std::vector<CadBody> sewn_bodies(const TopoDS_Shape& faces, std::uint32_t count, const std::string& file) {
  if (count == 0)
    throw InputError(file, "DATA", "holds no body and no surface",
                     "export the core as a solid, not its sketches, curves or points");
  const Sewn result = sewn(faces);
  if (result.solids.empty())
    throw InputError(file, "DATA",
                     "holds no body, only surfaces that do not close (surfaces: " + std::to_string(count) +
                         ", open edges: " + std::to_string(result.open_edges) + ")",
                     "close the surfaces and export the core as a solid");
  std::vector<CadBody> bodies;
  for (const TopoDS_Shape& solid : result.solids) bodies.push_back({solid, ""});
  return bodies;
}

}  // namespace

CadBodies read_step_bodies(const std::filesystem::path& path) {
  const std::string file = path.string();
  STEPControl_Reader reader;
  if (reader.ReadFile(path.c_str()) != IFSelect_RetDone)
    throw InputError(file, "DATA", "is not written as STEP is (ISO 10303-21)", "copy or export it again");
  reader.TransferRoots();
  const TopoDS_Shape shape = reader.NbShapes() > 0 ? reader.OneShape() : TopoDS_Shape();
  if (shape.IsNull())
    throw InputError(file, "DATA", "holds no shape", "export the core as a solid (AP203, AP214 or AP242)");

  CadBodies result;
  result.unit = length_unit(reader);
  const TopoDS_Compound loose = faces_outside_solids(shape, result.loose_faces);
  result.bodies = solids(shape, ShapeNames(reader));
  if (result.bodies.empty()) {
    result.bodies = sewn_bodies(loose, result.loose_faces, file);
    result.loose_faces = 0;
  }
  return result;
}

}  // namespace boxfettle
