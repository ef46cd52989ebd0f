// What the STEP mesher hands back to the program that started it, as bytes.
//
// The mesher reads hostile files, so its bytes are outside data too: they are read as carefully as a file's.
#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// One body of a STEP file, meshed.
struct StepMesh {
  TriangleMesh mesh;              // in mm, closed, counter-clockwise seen from outside
  double deflection_mm = 0;       // no triangle strays further from the body's faces
  bool coarsened = false;         // more than was asked for, as the mesh would have grown too large
  std::string unit;               // as the file names it: "millimetre", "INCH"; empty when it names none
  std::uint32_t bodies = 1;       // in the file
  std::uint32_t loose_faces = 0;  // surfaces that belong to no body, left out
};

struct StepBody {
  std::string name;  // may be empty
  Eigen::Vector3d size_mm;
};

// Several bodies and nobody said which; numbered from 1.
struct StepChoice {
  std::vector<StepBody> bodies;  // the first few
  std::uint32_t count = 0;       // all of them
};

// As InputError, without the file.
struct StepRefusal {
  std::string place, what, mend;
};

using StepAnswer = std::variant<StepMesh, StepChoice, StepRefusal>;

std::vector<std::byte> step_answer_bytes(const StepAnswer& answer);

// Nothing unless the bytes are one whole answer: every index in range, every coordinate a place on a core.
std::optional<StepAnswer> read_step_answer(std::span<const std::byte> bytes);

}  // namespace boxfettle
