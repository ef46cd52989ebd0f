#include "reading/design_file.hpp"

#include <tbb/parallel_invoke.h>

#include <algorithm>
#include <exception>
#include <utility>
#include <variant>

#include "input/input_error.hpp"

namespace boxfettle {

double design_deflection_mm(const Limits& limits) {
  return std::max(0.002, limits.surface_mm / 20);
}

DesignFile read_design_file(const std::filesystem::path& path, const CoreBox* box, StepReading step) {
  step.deflection_mm = design_deflection_mm(box != nullptr ? box->limits : Limits{});
  SurfaceFile file = read_surface_file(path, step);
  auto* const mesh = std::get_if<TriangleMesh>(&file.surface);
  if (mesh == nullptr)
    throw InputError(path.string(), "", "holds points where the design's surface is needed",
                     "export the design as STL or STEP");
  if (step.body && file.kind != "STEP")
    throw InputError(path.string(), "", "is " + file.kind + ", which holds no bodies to choose from",
                     "choose a body in a STEP design only");
  const LengthUnit box_unit = box != nullptr ? box->design_unit : LengthUnit::mm;
  const double factor = mm_per(file.unit.value_or(box_unit));
  for (Eigen::Vector3d& vertex : mesh->vertices) vertex *= factor;

  DesignFile design{std::move(*mesh), file.flaws, {}};
  for (const std::string& note : file.notes) design.notes.push_back("Design: " + note);
  if (file.unit && box_unit != LengthUnit::mm)
    design.notes.push_back("The box's design_unit (" + std::string(name(box_unit)) +
                           ") was not used: a STEP design says its own unit.");
  return design;
}

DesignAndScan read_design_and_scan(const std::filesystem::path& design, const CoreBox* box,
                                   const StepReading& step, const std::filesystem::path& scan) {
  DesignAndScan read;
  std::exception_ptr of_design, of_scan;
  const auto kept_fault = [](std::exception_ptr& fault, const auto& act) {
    try {
      act();
    } catch (...) {
      fault = std::current_exception();
    }
  };
  tbb::parallel_invoke(
      [&] { kept_fault(of_design, [&] { read.design = read_design_file(design, box, step); }); },
      [&] { kept_fault(of_scan, [&] { read.scan = read_surface_file(scan); }); });
  for (const std::exception_ptr& fault : {of_design, of_scan})
    if (fault) std::rethrow_exception(fault);
  return read;
}

}  // namespace boxfettle
