#include "app/venting_input.hpp"

#include <memory>
#include <numeric>

#include "closing/gap_field.hpp"
#include "corebox/box_file.hpp"
#include "reading/design_file.hpp"

namespace boxfettle {
namespace {

void read_opening(VentingInput& input) {
  std::vector<FeelerReading> readings;
  for (const GapReading& reading : input.box.gap_readings)
    readings.push_back({reading.at_parting_mm, reading.clamped_mm});
  if (readings.empty()) {
    input.notes.push_back("No feeler readings: the parting face was taken as shut.");
    return;
  }
  const auto field = std::make_shared<GapField>(readings);
  if (field->told()) {
    input.opening_mm = [field](const Eigen::Vector2d& place) { return field->opening_mm(place); };
    return;
  }
  double sum = 0;
  for (const FeelerReading& reading : readings) sum += reading.opening_mm;
  const double mean = sum / static_cast<double>(readings.size());
  input.opening_mm = [mean](const Eigen::Vector2d&) { return mean; };
  input.notes.push_back("The feeler readings do not tell a plane; their mean was taken all round.");
}

}  // namespace

InputError VentingInput::named(const InputError& error) const {
  const std::string file = error.file() == "design" ? design_file.string()
                           : error.file() == "box"  ? box_file.string()
                                                    : error.file();
  return {file, error.place(), error.fault(), error.mend()};
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
  if (!input.box.sand.permeability_number)
    input.notes.push_back(
        "Permeability was worked out from grain fineness and density; a measured standard "
        "permeability number tells more.");
  read_opening(input);
  return input;
}

}  // namespace boxfettle
