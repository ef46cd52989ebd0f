// Reading a STEP file: its curved faces made into triangles, in mm whatever unit the file is in.
//
// The work is done by a second program, boxfettle-step-mesh, because the library that reads STEP may crash,
// loop or eat all memory on a bad file (docs/decisions/0004-step-in-its-own-process.md). Here it is started,
// limited, and its answer checked.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <span>
#include <string>

#include "geometry/step_answer.hpp"

namespace boxfettle {

// boxfettle-step-mesh in the folder of the running program, whether it is there or not.
std::filesystem::path step_mesher_beside_this_program();

struct StepReading {
  std::filesystem::path mesher = step_mesher_beside_this_program();
  double deflection_mm = 0.015;       // how far a triangle may stray from the surface
  std::optional<std::uint32_t> body;  // which one, from 1; needed when the file holds several
  std::string choose_body = "export the one that is wanted alone";  // the mend when there are several
  std::uint32_t most_triangles = 500'000;    // beyond, the deflection grows until the mesh fits
  std::optional<std::uint32_t> processor_s;  // that the mesher may take; absent: by the file's size
  // Called about ten times a second while the mesher works; may throw to give up.
  std::function<void()> while_waiting = {};
};

// The largest STEP file tried: what the library keeps in memory is many times the file.
inline constexpr std::size_t most_step_bytes = std::size_t{200} << 20;

bool is_step(std::span<const std::byte> bytes);

// Throws InputError: not whole, larger than most_step_bytes, no shape, several bodies and none chosen, a body
// that is not there, surfaces that do not close, too much time or memory, the mesher missing or crashed.
StepMesh read_step_file(const std::filesystem::path& path, const StepReading& reading = {});

}  // namespace boxfettle
