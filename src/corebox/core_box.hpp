// What a core box is: two halves that meet at a parting face, held in place by dowels, closed by clamps,
// filled through blow inlets and emptied of air through vents, perhaps with loose pieces inside. Lengths in
// mm, angles in degrees where said, pressures in bar gauge: this is the edge, as a person writes it in a box
// file.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/length_unit.hpp"
#include "geometry/rigid_pose.hpp"

namespace boxfettle {

// The plane in which the halves meet, and its own axes: x_axis and y_axis lie in the face, normal points from
// the lower into the upper half. A place "at_parting_mm" is measured along these axes from `point_mm`.
struct PartingFace {
  Eigen::Vector3d point_mm;
  Eigen::Vector3d normal;  // unit
  Eigen::Vector3d x_axis;  // unit: design x laid into the face; design y where x is (nearly) the normal
  Eigen::Vector3d y_axis;  // normal cross x_axis

  // Throws std::invalid_argument when `normal` has no length.
  static PartingFace through(const Eigen::Vector3d& point_mm, const Eigen::Vector3d& normal);

  double height_mm(const Eigen::Vector3d& design_mm) const { return normal.dot(design_mm - point_mm); }
  Eigen::Vector2d at_parting_mm(const Eigen::Vector3d& design_mm) const {
    const Eigen::Vector3d offset = design_mm - point_mm;
    return {x_axis.dot(offset), y_axis.dot(offset)};
  }
  Eigen::Vector3d at_design_mm(const Eigen::Vector2d& parting_mm) const {
    return point_mm + parting_mm.x() * x_axis + parting_mm.y() * y_axis;
  }

  bool operator==(const PartingFace&) const = default;
};

enum class Process { cold_box, hot_box, shell, co2, no_bake };
enum class BoxMaterial { aluminium, grey_iron, steel, brass, resin, wood };
enum class Half { lower, upper };

std::string_view name(Process process);       // "cold-box", "hot-box", "shell", "co2", "no-bake"
bool cures_by_gas(Process process);           // cold-box, co2
std::string_view name(BoxMaterial material);  // "aluminium", "grey-iron", "steel", "brass", "resin", "wood"
std::string_view name(Half half);             // "lower", "upper"
std::optional<Process> process_named(std::string_view text);  // empty when the name is none of these
std::optional<BoxMaterial> box_material_named(std::string_view text);
std::optional<Half> half_named(std::string_view text);

struct Limits {
  double surface_mm = 0.30;   // how far the core's surface may stray from its design, either way
  double mismatch_mm = 0.40;  // shift of one half over the other, in the parting face
  double gap_mm = 0.20;       // growth across the parting
  double weight_percent = 2.0;
  std::string casting_grade;  // "DCTG 9" when the drawing gives a grade only; else empty

  bool operator==(const Limits&) const = default;
};

struct Dowel {
  enum class Bush { round, slot };
  std::string id;
  Eigen::Vector2d at_parting_mm;
  double pin_mm;
  double bush_mm;  // across the slot for a slotted bush
  Bush kind = Bush::round;
  Eigen::Vector2d slot_axis = {1, 0};         // unit, the free direction
  std::optional<double> slot_length_mm = {};  // overall; absent: the slot never ends
  std::optional<Eigen::Vector2d> bush_at_parting_mm =
      {};  // where the bush was measured; absent: at_parting_mm

  bool operator==(const Dowel&) const = default;
};

struct WatchPoint {
  std::string id;
  Eigen::Vector2d at_parting_mm;

  bool operator==(const WatchPoint&) const = default;
};

struct GapReading {
  Eigen::Vector2d at_parting_mm;
  double clamped_mm;
  std::optional<double> unclamped_mm = {};

  bool operator==(const GapReading&) const = default;
};

struct Clamp {
  enum class Kind { bolt, toggle };
  std::string id;
  Eigen::Vector2d at_parting_mm;
  Kind kind;
  std::string thread;          // "M12"; empty for a toggle
  std::string strength_class;  // "8.8"; empty for a toggle
  double torque_Nm = 0;        // bolt
  double force_N = 0;          // toggle: rated holding force

  bool operator==(const Clamp&) const = default;
};

struct Vent {
  std::string id;
  Eigen::Vector3d at_design_mm;  // on the cavity wall
  double diameter_mm;
  double open_fraction = 0.25;  // open area / disc area when clean
  double plugged = 0;           // part of the open area lost, 0..1
  Half half = Half::upper;

  bool operator==(const Vent&) const = default;
};

struct BlowInlet {
  std::string id;
  Eigen::Vector3d at_design_mm;
  double diameter_mm;

  bool operator==(const BlowInlet&) const = default;
};

// What a shop judges the air of a box by, in per cent; absent: Boxfettle's own lines
// (venting/venting_lines.hpp).
struct AirLines {
  std::optional<double> reached_last;      // of the core: the part that stands for its worst
  std::optional<double> slower_at_most;    // that part, than with clean vents and a shut box
  std::optional<double> unpurged_at_most;  // of the pore space
  std::optional<double> watch_plugged;     // of a vent's plug limit
  std::optional<double> leak_at_most;      // of the air or gas, through the parting face
  std::optional<double> watch_fill_slower, hold_fill_slower;  // than as designed

  bool operator==(const AirLines&) const = default;
};

struct Air {
  double blow_bar = 3.0;  // gauge
  double magazine_litre = 20;
  double gas_bar = 1.5;  // gauge
  double gas_temperature_C = 40;
  double gas_seconds = 6;
  AirLines lines = {};

  bool operator==(const Air&) const = default;
};

struct Sand {
  double grain_fineness = 55;  // standard grain fineness number
  double bulk_density_g_cm3 = 1.55;
  std::optional<double> permeability_number = {};  // standard permeability number, when measured

  bool operator==(const Sand&) const = default;
};

struct LoosePiece {
  std::string id;
  std::string name;
  Eigen::Vector3d region_min_mm;  // box region in design coordinates
  Eigen::Vector3d region_max_mm;

  bool operator==(const LoosePiece&) const = default;
};

// A mark on the core whose place is known on the design and was picked in the scan.
struct DatumTarget {
  std::string id;
  Eigen::Vector3d at_design_mm;
  Eigen::Vector3d at_scan_mm;  // in the scan's own frame, in mm

  bool operator==(const DatumTarget&) const = default;
};

struct CoreBox {
  std::string id;
  std::string name;
  Process process = Process::cold_box;
  BoxMaterial material = BoxMaterial::aluminium;
  std::string design_file;  // path as written in the box file, relative to it; empty when none
  LengthUnit design_unit = LengthUnit::mm;
  double temperature_C = 20;
  PartingFace parting = PartingFace::through({0, 0, 0}, {0, 0, 1});
  Limits limits;
  std::vector<Dowel> dowels;
  std::vector<WatchPoint> watch_points;
  std::vector<GapReading> gap_readings;
  std::vector<Clamp> clamps;
  std::vector<Vent> vents;
  std::vector<BlowInlet> blow_inlets;
  Air air;
  Sand sand;
  std::vector<LoosePiece> loose_pieces;
  // How scans of this box lie, roughly: settles a core that fits its design in more than one way. From
  // [scan_pose] or fitted to three datum targets or more; absent when the file says nothing.
  std::vector<DatumTarget> datum_targets;
  std::optional<RigidPose> rough_design_from_scan;

  bool operator==(const CoreBox&) const = default;
};

}  // namespace boxfettle
