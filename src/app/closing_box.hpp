// The box that `dowels` and `gap` are about, read with what its design leaves in the parting face.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "closing/cavity_footprint.hpp"
#include "corebox/core_box.hpp"
#include "paper/input_file.hpp"

namespace boxfettle {

struct ClosingBox {
  CoreBox box;
  std::optional<CavityFootprint> footprint;  // absent when the box file names no design
  std::vector<InputFile> inputs;
  std::vector<std::string> notes;
};

// Throws InputError as the readers of box file and design do.
ClosingBox read_closing_box(const std::filesystem::path& box_file);

}  // namespace boxfettle
