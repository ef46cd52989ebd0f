// The box that `blow` and `vents` are about, read with its design and what its feeler readings say of the
// parting face.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "app/command_line.hpp"
#include "corebox/core_box.hpp"
#include "geometry/triangle_mesh.hpp"
#include "input/input_error.hpp"

namespace boxfettle {

struct VentingInput {
  CoreBox box;
  std::filesystem::path box_file, design_file;
  TriangleMesh design;
  std::function<double(const Eigen::Vector2d& at_parting_mm)> opening_mm;  // absent without readings
  std::vector<std::string> notes;

  std::vector<std::string> files() const { return {design_file.string(), box_file.string()}; }
  // The studies speak of "design" and "box"; a person knows them by their files.
  InputError named(const InputError& error) const;
};

// Throws InputError as the readers do, and when the box file names no design.
VentingInput read_venting_input(const std::string& box_file);

inline constexpr Option vent_discharge_option{"--vent-discharge", "C",
                                              "of a vent's open area (0.65: sharp-edged slots)"};
inline constexpr Option land_option{"--land", "MM", "sealing land that a leak must cross (20)"};

}  // namespace boxfettle
