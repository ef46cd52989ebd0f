// What bodies a STEP file holds, through Open CASCADE. Only the program boxfettle-step-mesh calls this: on a
// bad file the library may crash, loop or take all memory.
#pragma once

#include <TopoDS_Shape.hxx>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace boxfettle {

struct CadBody {
  TopoDS_Shape solid;  // in mm, where its assembly puts it
  std::string name;    // of the solid, else of the product it belongs to; may be empty
};

struct CadBodies {
  std::vector<CadBody> bodies;    // at least one
  std::string unit;               // of length, as the file names it; empty when it names none
  std::uint32_t loose_faces = 0;  // that belong to no body
};

// A file with surfaces but no solid: they are sewn, and each closed shell that comes out is a body.
// Throws InputError: not readable, no shape, surfaces that do not close.
CadBodies read_step_bodies(const std::filesystem::path& path);

}  // namespace boxfettle
