// The design of a box's core, read for a scan to be held against it: in mm, fine enough for the box's limits;
// alone, or beside the scan itself.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "corebox/core_box.hpp"
#include "geometry/step_file.hpp"
#include "geometry/surface_file.hpp"

namespace boxfettle {

struct DesignFile {
  TriangleMesh mesh_mm;
  MeshFlaws flaws;
  std::vector<std::string> notes;  // what was assumed, a sentence each
};

// How far the triangles of a STEP design may stray from its faces: a twentieth of the surface limit, which no
// finding can hang on. Not below 0.002 mm, where triangles multiply and no scanner sees the difference.
double design_deflection_mm(const Limits& limits);

// The unit is the file's own where it says one (STEP), else the box's design_unit, else mm. Of `step`, all
// but the deflection is taken. Throws InputError as read_surface_file does, and when the file holds points,
// or a body was chosen in a file that has none.
DesignFile read_design_file(const std::filesystem::path& path, const CoreBox* box, StepReading step = {});

struct DesignAndScan {
  DesignFile design;
  SurfaceFile scan;
};

// Both at once; `step` is for the design. Where neither can be read, the design's fault is thrown.
DesignAndScan read_design_and_scan(const std::filesystem::path& design, const CoreBox* box,
                                   const StepReading& step, const std::filesystem::path& scan);

}  // namespace boxfettle
