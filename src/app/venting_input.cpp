#include "app/venting_input.hpp"

#include "closing/feeler_opening.hpp"
#include "corebox/box_file.hpp"
#include "reading/design_file.hpp"

namespace boxfettle {
InputError VentingInput::named(const InputError& error) const {
  const std::string file = error.file() == "design" ? design_file.string()
                           : error.file() == "box"  ? box_file.string()
                                                    : error.file();
  return {file, error.place(), error.fault(), error.mend()};
}

void take_line(const CommandLine& line, std::string_view option, LineRange range, VentingLine& into) {
  if (const auto percent = line.number(option, 0.01, range.most_percent))
    into = {range.beyond + *percent / 100, "set by " + std::string(option)};
}

VentingInput read_venting_input(const std::string& box_file) {
  VentingInput input;
  input.box = read_box_file(box_file);
  input.box_file = box_file;
  if (input.box.design_file.empty())
    throw InputError(box_file, "box.design", "is needed: the cavity is the core's own shape",
                     "name the core's design in the box file");
  // A relative path in the box file starts at the box file, so that the two can be moved together.
  input.design_file = input.box_file.parent_path() / input.box.design_file;
  DesignFile design = read_design_file(input.design_file, &input.box);
  input.design = std::move(design.mesh_mm);
  input.notes = std::move(design.notes);
  FeelerOpening opening = feeler_opening(input.box);
  input.opening_mm = std::move(opening.opening_mm);
  if (!opening.note.empty()) input.notes.push_back(std::move(opening.note));
  return input;
}

}  // namespace boxfettle
