#include "demo/known_scans.hpp"

#include <cmath>
#include <cstdio>

namespace boxfettle::demo {
namespace {

Scanner scanner(std::uint64_t seed) {
  Scanner settings;
  settings.points = 150000;
  settings.noise_mm = 0.03;
  settings.noise_correlation_mm = 12;
  settings.correlated_noise_mm = 0.01;
  settings.seed = seed;
  return settings;
}

Scanner on_a_table(std::uint64_t seed) {
  Scanner settings = scanner(seed);
  settings.table = true;
  settings.unseen_fraction = 0.15;
  settings.outlier_fraction = 0.01;
  return settings;
}

// The half's scanner has no noise that neighbours share.
Scanner half_scanner(std::uint64_t seed) {
  Scanner settings;
  settings.points = 200000;
  settings.noise_mm = 0.03;
  settings.seed = seed;
  return settings;
}

const Eigen::Vector3d volute_tongue{62, -72, 8};

BoxFaults tongue_worn_by(double depth_mm) {
  BoxFaults faults;
  faults.patches = {{volute_tongue, 14, depth_mm}};
  return faults;
}

BoxFaults jacket_faults() {
  BoxFaults faults;
  faults.mismatch_mm = {0.26, -0.19};
  faults.rotation_deg = 0.02;
  faults.gap_mm = 0.08;
  faults.patches = {{{80, -42, 20}, 12, 0.24}, {{-82, 45, -20}, 10, -0.18}};
  return faults;
}

BoxFaults valve_faults() {
  BoxFaults faults;
  faults.mismatch_mm = {0.10, 0.05};
  faults.gap_mm = 0.27;
  faults.tilt_deg = {0.05, 0};
  faults.pieces = {{{29, -48, 1}, {51, -24, 23}, -1.0}};
  return faults;
}

// What lets the jacket's halves out of line: one bore of the upper half worn; and a dent that does no harm yet.
KnownHalf jacket_upper_half() {
  HalfFaults faults;
  faults.dowels = {{"D1", {0, 0}, 0.14}};
  faults.damage = {{{140, -65}, 11, -0.35}};
  return {Half::upper, faults};
}

template <typename... Values>
std::string line(const char* format, Values... values) {
  char text[200];
  std::snprintf(text, sizeof text, format, values...);
  return std::string("    ") + text + "\n";
}

std::string half_in_words(const KnownHalf& half) {
  std::string words =
      line("of the %s half itself; places along the parting face's axes", std::string(name(half.which)).c_str());
  for (const DowelFault& dowel : half.faults.dowels)
    words += line("%s of dowel %s worn by %.2f mm in diameter", half.which == Half::upper ? "bore" : "pin",
                  dowel.id.c_str(), std::abs(dowel.diameter_change_mm));
  for (const FaceDamage& damage : half.faults.damage)
    words += line("%s of %.2f mm in the parting face, within %.0f mm of (%.0f, %.0f)",
                  damage.height_mm < 0 ? "dent" : "raised metal", std::abs(damage.height_mm), damage.radius_mm,
                  damage.at_parting_mm.x(), damage.at_parting_mm.y());
  return words;
}

}  // namespace

std::vector<KnownScan> known_scans() {
  return {{"TM-0412", "TM-0412-scan-1.ply", {}, on_a_table(4121), false},
          {"TM-0412", "TM-0412-scan-2.ply", tongue_worn_by(0.07), scanner(4122), false},
          {"TM-0412", "TM-0412-scan-3.ply", tongue_worn_by(0.13), scanner(4123), true},
          {"TM-0427", "TM-0427-scan-1.ply", jacket_faults(), scanner(4271), true},
          {"TM-0427", "TM-0427-upper-half.ply", {}, half_scanner(4272), true, jacket_upper_half()},
          {"TM-0455", "TM-0455-scan-1.ply", valve_faults(), scanner(4551), true}};
}

PointCloud points_of(const KnownScan& scan, const InventedCore& core) {
  if (!scan.half) return scan_core(core.design, core.box.parting, scan.faults, scan.scanner).points;
  const ToolHalf tool(core.design, core.box, scan.half->which, scan.half->faults);
  return scan_half(tool, scan.scanner).points;
}

std::string in_words(const KnownScan& scan) {
  const BoxFaults& faults = scan.faults;
  std::string words = scan.half ? half_in_words(*scan.half) : "";
  if (!faults.mismatch_mm.isZero())
    words += line("upper half shifted by %+.2f mm along x and %+.2f mm along y of the parting face",
                  faults.mismatch_mm.x(), faults.mismatch_mm.y());
  if (faults.rotation_deg != 0) words += line("upper half turned by %+.3f degrees", faults.rotation_deg);
  if (faults.gap_mm != 0) words += line("parting face open by %.2f mm at its middle", faults.gap_mm);
  if (!faults.tilt_deg.isZero())
    words += line("upper half tilted by %+.3f degrees about x and %+.3f about y", faults.tilt_deg.x(),
                  faults.tilt_deg.y());
  for (const FaultPatch& patch : faults.patches)
    words += line("%s of %.2f mm at its deepest, within %.0f mm of (%.0f, %.0f, %.0f)",
                  patch.depth_mm > 0 ? "wear" : "build-up", std::abs(patch.depth_mm), patch.radius_mm,
                  patch.centre_mm.x(), patch.centre_mm.y(), patch.centre_mm.z());
  for (const PieceFault& piece : faults.pieces)
    words += line("the loose piece round (%.0f, %.0f, %.0f) off by %+.2f mm",
                  0.5 * (piece.region_min_mm + piece.region_max_mm).x(),
                  0.5 * (piece.region_min_mm + piece.region_max_mm).y(),
                  0.5 * (piece.region_min_mm + piece.region_max_mm).z(), piece.shift_mm);
  if (words.empty()) words += line("no fault");
  words += line(scan.half ? "noise %.3f mm on each point (standard deviation)"
                          : "noise %.3f mm on each point and %.3f mm shared over %.0f mm (standard deviations)",
                scan.scanner.noise_mm, scan.scanner.correlated_noise_mm, scan.scanner.noise_correlation_mm);
  if (scan.scanner.table)
    words += line("lies on a table that is in the scan; %.0f %% of the core unseen, %.0f %% stray points",
                  100 * scan.scanner.unseen_fraction, 100 * scan.scanner.outlier_fraction);
  return words;
}

}  // namespace boxfettle::demo
