// What a scan says about a box: where it lies, how far each place strays from the design, how the halves
// stood to each other, and which places show wear, build-up and the like. Lengths in mm, in design
// coordinates unless said. Positive deviation = outside the design surface of the core.
#pragma once

#include <Eigen/Core>
#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "corebox/core_box.hpp"
#include "geometry/length_unit.hpp"
#include "geometry/point_cloud.hpp"
#include "geometry/rigid_pose.hpp"
#include "geometry/triangle_mesh.hpp"
#include "reading/half_figures.hpp"
#include "reading/measured_points.hpp"

namespace boxfettle {

enum class Severity { note, watch, hold };
enum class ScanVerdict { fit, watch, hold, cannot_tell };
enum class FindingKind {
  mismatch,
  gap,
  wear,
  build_up,
  fin,
  missing_piece,
  vent_print,
  unseen,
  dent,         // of the parting face: metal missing
  raised_metal  // on the parting face: keeps the box from closing
};
enum class ScanSubject { core, half_upper, half_lower };  // what was scanned

std::string_view name(Severity severity);    // "note", "watch", "hold"
std::string_view name(ScanSubject subject);  // "core", "half-upper", "half-lower"
std::string_view name(ScanVerdict verdict);  // "fit", "watch", "hold", "cannot-tell"
std::string_view name(
    FindingKind kind);  // "mismatch", "gap", "wear", "build-up", "fin", "missing-piece", ...

struct Finding {
  FindingKind kind;
  Severity severity;
  Eigen::Vector3d where_mm;  // a point on the design surface inside the place found
  double area_mm2 = 0;       // of design surface; 0 for mismatch and gap
  double depth_mm = 0;       // signed peak, robust; the shift or opening itself for mismatch and gap
  double volume_mm3 = 0;     // signed, depth summed over the area
  double u95_mm = 0;         // half-width of the 95 % interval of depth_mm
  double limit_mm = 0;       // the limit the depth is judged by
  std::string text = {};     // what a fitter needs to know, one sentence
  std::vector<std::uint32_t> vertices =
      {};  // of ScanReading::surface, that lie in the place (for showing it)
};

struct Deviation {
  double mean_mm = 0, sd_mm = 0, p05_mm = 0, p50_mm = 0, p95_mm = 0;
  double within_limit_fraction = 0;  // of the points taken as the part
  double coverage_fraction = 0;      // of the design's area that was seen
  double outlier_fraction = 0;       // of all points: not of the part (of a half: nor face, nor dowels)
};

// How the upper half stood to the lower one, from the two halves' own alignments.
struct HalvesReading {
  bool told = false;  // false: `why_not` says why the data cannot tell
  std::string why_not;
  Eigen::Vector2d mismatch_mm = {
      0, 0};                     // of upper relative to lower, in the parting face's axes, at `centroid_mm`
  double mismatch_worst_mm = 0;  // largest in-plane shift over the outline at the parting face
  double rotation_deg = 0;       // about the parting normal
  double gap_mm = 0;             // opening at the centroid
  double gap_worst_mm = 0;       // opening furthest from zero over the outline, tilt included
  Eigen::Vector2d tilt_deg = {0, 0};  // about the face's x and y
  double mismatch_u95_mm = 0, gap_u95_mm = 0, rotation_u95_deg = 0;
  Eigen::Vector2d tilt_u95_deg = {0, 0};
  Eigen::Vector3d centroid_mm = {0, 0, 0};  // of the parting outline
};

struct Polyline {
  std::vector<Eigen::Vector3d> points_mm;
  bool closed = false;
};

// The section at the parting face: the design's outline and the scan's, both in design coordinates.
struct PartingSection {
  std::vector<Polyline> design;
  std::vector<Polyline> measured;  // the design's points moved by what was found there; NaN where unseen
};

struct ScanReading {
  ScanSubject of = ScanSubject::core;
  RigidPose design_from_scan;  // of the scan in mm
  bool pose_ambiguous = false;
  std::vector<RigidPose> alternatives;
  LengthUnit scan_unit = LengthUnit::mm;
  Deviation deviation;
  std::optional<HalvesReading> halves;             // of a core, present when a box was given
  std::optional<PartingFaceReading> parting_face;  // of a half
  std::vector<DowelReading> dowels;                // of a half, in the box file's order
  bool measured = true;  // false: the scan may not show this at all; figures and findings say nothing
  std::vector<Finding> findings;  // hardest first
  ScanVerdict verdict = ScanVerdict::cannot_tell;
  std::vector<std::string> notes;  // what was assumed, what cannot be told
  double noise_mm = 0;             // one standard deviation of a single point, as found in the scan itself
  TriangleMesh surface;            // the design as read: long triangles are cut smaller, nothing is moved
  std::vector<float> vertex_deviation_mm;  // one per vertex of `surface`, NaN where the scan did not see it
  PartingSection section;                  // empty without a box
  std::optional<MeasuredPoints> points;    // when the settings asked for them
};

struct ScanSettings {
  bool keep_points = false;  // 20 bytes for each, to measure places afterwards that this scan does not show
  std::optional<LengthUnit> scan_unit;  // empty: found from the sizes
  // Called now and then with the share done (0..1) and the step's name; returns false to stop the reading.
  std::function<bool(double, std::string_view)> progress;
};

// Thrown out of read_scan when `progress` said stop.
struct ReadingCancelled {};

// `design` in mm. `box` may be null: then nothing is said about halves, and the default limits judge the
// rest. The result does not depend on the number of threads. Throws InputError (file "design" or "scan") when
// the design is open, has one side only or is less than 1 mm across, the scan has too few points, or its unit
// cannot be the one that was given.
ScanReading read_scan(const TriangleMesh& design, const std::variant<TriangleMesh, PointCloud>& scan,
                      const CoreBox* box, const ScanSettings& settings = {});

}  // namespace boxfettle
