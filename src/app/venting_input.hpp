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
#include "venting/venting_lines.hpp"

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

// A line of the verdict in per cent, as an option sets it instead of the box file.
struct LineRange {
  double most_percent;
  double beyond = 0;  // 1 for a line that is a ratio, said by how much it goes beyond
};
void take_line(const CommandLine& line, std::string_view option, LineRange range, VentingLine& into);

// Throws InputError as the readers do, and when the box file names no design.
VentingInput read_venting_input(const std::string& box_file);

inline constexpr Option vent_discharge_option{"--vent-discharge", "C",
                                              "of a vent's open area (0.65: sharp-edged slots)"};
inline constexpr Option leak_line_option{
    "--leak-at-most", "%", "of air or gas through the parting face; more is to be watched (10)"};
inline constexpr Option land_option{"--land", "MM", "sealing land that a leak must cross (20)"};

}  // namespace boxfettle
