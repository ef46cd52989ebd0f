#include "cad/step_meshing.hpp"

#include <BRepBndLib.hxx>
#include <Bnd_Box.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_Printer.hxx>
#include <Standard_Failure.hxx>
#include <Standard_OutOfMemory.hxx>
#include <algorithm>
#include <new>

#include "cad/sewing.hpp"
#include "cad/step_bodies.hpp"
#include "geometry/coordinate_check.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

constexpr const char* export_again =
    "export it again, healed, as one closed body, or export the surface as binary STL";

Eigen::Vector3d size_mm(const TopoDS_Shape& shape) {
  Bnd_Box box;
  BRepBndLib::AddOptimal(shape, box, false, false);
  if (box.IsVoid()) return Eigen::Vector3d::Zero();
  const gp_XYZ size = box.CornerMax().XYZ() - box.CornerMin().XYZ();
  return {size.X(), size.Y(), size.Z()};
}

StepChoice choice(const CadBodies& held) {
  constexpr std::size_t told = 12;
  StepChoice choice;
  choice.count = static_cast<std::uint32_t>(held.bodies.size());
  for (std::size_t i = 0; i < std::min(told, held.bodies.size()); ++i)
    choice.bodies.push_back({held.bodies[i].name, size_mm(held.bodies[i].solid)});
  return choice;
}

// A body whose faces do not share their edges, as some exports write it, is sewn and tried once more.
BodyMesh closed_mesh(const TopoDS_Shape& body, const BodyMeshing& wanted, const std::string& file) {
  BodyMesh mesh = body_mesh(body, wanted);
  if (mesh.closed) return mesh;
  const Sewn again = sewn(body);
  if (again.solids.size() == 1) mesh = body_mesh(again.solids.front(), wanted);
  if (!mesh.whole)
    throw InputError(file, "DATA",
                     "a face of the body cannot be meshed: it is broken, or needs more memory than there is",
                     export_again);
  if (!mesh.closed) throw InputError(file, "DATA", "the faces of the body do not close", export_again);
  return mesh;
}

StepAnswer meshed(const std::filesystem::path& path, std::uint32_t body, const BodyMeshing& wanted) {
  const std::string file = path.string();
  const CadBodies held = read_step_bodies(path);
  const auto count = static_cast<std::uint32_t>(held.bodies.size());
  if (body > count)
    throw InputError(file, "", "has no body " + std::to_string(body) + ", only " + std::to_string(count),
                     "choose one from 1 to " + std::to_string(count));
  if (body == 0 && count > 1) return choice(held);
  BodyMesh mesh = closed_mesh(held.bodies[body == 0 ? 0 : body - 1].solid, wanted, file);
  if (mesh.mesh.triangles.size() > wanted.most_triangles)
    throw InputError(file, "DATA",
                     "would need more than " + std::to_string(wanted.most_triangles) + " triangles",
                     "export the core's body alone, without threads, knurls and lettering");
  for (const Eigen::Vector3d& vertex : mesh.mesh.vertices)
    if (!is_place(vertex)) refuse_place(vertex, file, "DATA");
  return StepMesh{std::move(mesh.mesh), mesh.deflection_mm, mesh.coarsened, held.unit, count,
                  held.loose_faces};
}

}  // namespace

StepAnswer step_meshing(const std::filesystem::path& path, std::uint32_t body, const BodyMeshing& wanted) {
  Message::DefaultMessenger()->RemovePrinters(STANDARD_TYPE(Message_Printer));
  try {
    return meshed(path, body, wanted);
  } catch (const InputError& error) {
    return StepRefusal{error.place(), error.fault(), error.mend()};
  } catch (const Standard_OutOfMemory&) {
    throw std::bad_alloc();
  } catch (const Standard_Failure&) {
    return StepRefusal{"DATA", "cannot be made into a surface", export_again};
  }
}

}  // namespace boxfettle
