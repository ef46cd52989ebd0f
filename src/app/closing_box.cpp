#include "app/closing_box.hpp"

#include "corebox/box_file.hpp"
#include "corebox/casting_tolerance.hpp"
#include "reading/design_file.hpp"

namespace boxfettle {

ClosingBox read_closing_box(const std::filesystem::path& box_file) {
  ClosingBox read{read_box_file(box_file), {}, {}, {}};
  if (!read.box.design_file.empty()) {
    // A relative path in the box file starts at the box file, so that the two can be moved together.
    const std::filesystem::path design = box_file.parent_path() / read.box.design_file;
    const DesignFile file = read_design_file(design, &read.box);
    read.footprint = cavity_footprint(file.mesh_mm, read.box.parting);
    read.notes = file.notes;
    read.inputs.push_back(input_file(design));
    GradedLimits graded = graded_limits(read.box.limits, read.footprint->longest_mm);
    read.box.limits = graded.limits;
    read.notes.insert(read.notes.end(), graded.notes.begin(), graded.notes.end());
  }
  read.inputs.push_back(input_file(box_file));
  return read;
}

}  // namespace boxfettle
