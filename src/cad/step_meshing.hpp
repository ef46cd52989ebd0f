// From a STEP file to the answer that boxfettle-step-mesh hands back.
#pragma once

#include <cstdint>
#include <filesystem>

#include "cad/body_mesh.hpp"
#include "geometry/step_answer.hpp"

namespace boxfettle {

// `body` counts from 1; 0 is none chosen. Never throws: whatever goes wrong is a StepRefusal.
StepAnswer step_meshing(const std::filesystem::path& path, std::uint32_t body, const BodyMeshing& wanted);

}  // namespace boxfettle
