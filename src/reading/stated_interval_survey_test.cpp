// Are the stated 95 % intervals honest? Random boxes with random faults, scanned by random scanners, and how
// often each interval holds the truth. Between 90 and 99 % is asked: with 200 scans an honest 95 % lies there
// all but surely (binomial: under 0.3 % below, and 99 % is passed only when the interval is wider than it
// says).
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <numbers>
#include <string>

#include "demo/dice.hpp"
#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {
namespace {

using demo::Dice;

constexpr double degrees = 180 / std::numbers::pi;
constexpr int scans = 200;

// Meshed coarsely, for speed; scan and design share the mesh.
const demo::InventedCore& core(int number) {
  static const std::vector<demo::InventedCore> all{demo::pump_volute(4.0), demo::ribbed_jacket(4.0),
                                                   demo::stepped_valve_body(4.0)};
  return all[static_cast<std::size_t>(number) % all.size()];
}

demo::BoxFaults random_faults(const demo::InventedCore& core, Dice& dice) {
  demo::BoxFaults faults;
  faults.mismatch_mm = {dice.uniform(-0.5, 0.5), dice.uniform(-0.5, 0.5)};
  faults.rotation_deg = dice.uniform(-0.1, 0.1);
  faults.gap_mm = dice.uniform(-0.05, 0.4);
  faults.tilt_deg = {dice.uniform(-0.04, 0.04), dice.uniform(-0.04, 0.04)};
  const auto triangles = core.design.triangles.size();
  for (std::uint64_t count = dice.below(3); count > 0; --count) {
    const double depth_mm = (dice.uniform() < 0.7 ? 1 : -1) * dice.uniform(0.2, 0.6);
    faults.patches.push_back({core.design.corner(dice.below(triangles), 0), dice.uniform(10, 20), depth_mm});
  }
  return faults;
}

demo::Scanner random_scanner(std::uint64_t seed, Dice& dice) {
  demo::Scanner scanner;
  scanner.seed = seed;
  scanner.points = 20000 + dice.below(40000);
  scanner.noise_mm = dice.uniform(0.02, 0.08);
  scanner.noise_correlation_mm = dice.uniform(3, 12);
  scanner.correlated_noise_mm = dice.uniform(0, 0.02);
  scanner.outlier_fraction = dice.uniform(0, 0.1);
  scanner.unseen_fraction = dice.uniform(0, 0.4);
  scanner.table = dice.uniform() < 0.3;
  return scanner;
}

struct Count {
  int held = 0, told = 0;
  double worst = 0;  // largest error in stated half-widths
  void add(double error, double half_width) {
    ++told;
    held += std::abs(error) <= half_width;
    worst = std::max(worst, std::abs(error) / half_width);
  }
  double rate() const { return static_cast<double>(held) / told; }
};

using Counts = std::map<std::string, Count>;

// The truth is stated at the parting point; a reading speaks of the outline's centroid.
void count_halves(const HalvesReading& read, const demo::BoxFaults& faults, const PartingFace& parting,
                  Counts& counts) {
  const Eigen::Vector2d arm = parting.at_parting_mm(read.centroid_mm);
  const Eigen::Vector2d shift =
      faults.mismatch_mm + faults.rotation_deg / degrees * Eigen::Vector2d(-arm.y(), arm.x());
  const double gap_mm =
      faults.gap_mm + faults.tilt_deg.x() / degrees * arm.y() - faults.tilt_deg.y() / degrees * arm.x();
  counts["mismatch x"].add(read.mismatch_mm.x() - shift.x(), read.mismatch_u95_mm);
  counts["mismatch y"].add(read.mismatch_mm.y() - shift.y(), read.mismatch_u95_mm);
  counts["gap"].add(read.gap_mm - gap_mm, read.gap_u95_mm);
  counts["rotation"].add(read.rotation_deg - faults.rotation_deg, read.rotation_u95_deg);
}

bool is_patch(const Finding& finding) {
  return finding.kind == FindingKind::wear || finding.kind == FindingKind::build_up ||
         finding.kind == FindingKind::fin || finding.kind == FindingKind::vent_print ||
         finding.kind == FindingKind::missing_piece;
}

// A depth has one value where the surface is smooth, one half alone makes it, and no other patch reaches in.
bool has_one_depth(const demo::FaultPatch& made, const demo::BoxFaults& faults,
                   const demo::InventedCore& cast) {
  constexpr double smooth = 0.8;  // least cosine between the facets of its middle
  if (std::abs(cast.box.parting.height_mm(made.centre_mm)) < made.radius_mm) return false;
  for (const demo::FaultPatch& other : faults.patches)
    if (&other != &made && (other.centre_mm - made.centre_mm).norm() < other.radius_mm + made.radius_mm)
      return false;
  std::vector<Eigen::Vector3d> facing;
  for (std::size_t t = 0; t < cast.design.triangles.size(); ++t)
    if ((cast.design.corner(t, 0) - made.centre_mm).norm() < 0.5 * made.radius_mm)
      facing.push_back(doubled_area_vector(cast.design, t).normalized());
  return std::all_of(facing.begin(), facing.end(),
                     [&](const Eigen::Vector3d& n) { return n.dot(facing.front()) > smooth; });
}

bool was_seen(const demo::FaultPatch& made, const PointCloud& points, const RigidPose& design_from_scan) {
  std::size_t near = 0;
  for (std::size_t i = 0; i < points.size(); ++i)
    near += (design_from_scan * points.point_mm(i) - made.centre_mm).norm() < 0.4 * made.radius_mm;
  return near > 20;
}

struct PatchCount {
  Count depth;
  int missed = 0;
};

void count_patches(const ScanReading& read, const PointCloud& points, const demo::BoxFaults& faults,
                   const demo::InventedCore& cast, PatchCount& count) {
  for (const demo::FaultPatch& made : faults.patches) {
    if (!has_one_depth(made, faults, cast) || !was_seen(made, points, read.design_from_scan)) continue;
    const auto found = std::find_if(read.findings.begin(), read.findings.end(), [&](const Finding& f) {
      return is_patch(f) && (f.where_mm - made.centre_mm).norm() < 0.5 * made.radius_mm;
    });
    if (found == read.findings.end())
      ++count.missed;
    else
      count.depth.add(found->depth_mm - made.depth_mm, found->u95_mm);
  }
}

TEST(StatedIntervals, HoldTheTruthInNinetyToNinetyNineOfAHundredScans) {
  Counts counts;
  PatchCount patches;
  int told = 0, sound = 0, false_alarms = 0;
  for (int number = 0; number < scans; ++number) {
    Dice dice(77, static_cast<std::uint64_t>(number));
    const demo::InventedCore& cast = core(number);
    const demo::BoxFaults faults = random_faults(cast, dice);
    const demo::Scanner scanner = random_scanner(1000 + static_cast<std::uint64_t>(number), dice);
    const PointCloud points = demo::scan_core(cast.design, cast.box.parting, faults, scanner).points;
    const ScanReading reading = read_scan(cast.design, points, &cast.box);
    if (!reading.halves->told || reading.pose_ambiguous) continue;
    ++told;
    count_halves(*reading.halves, faults, cast.box.parting, counts);
    count_patches(reading, points, faults, cast, patches);
    if (!faults.patches.empty()) continue;
    ++sound;
    false_alarms += std::any_of(reading.findings.begin(), reading.findings.end(), is_patch);
  }
  std::printf("%d of %d scans could be told\n", told, scans);
  EXPECT_GT(told, scans * 8 / 10);
  // One in a hundred is accepted; of 70 scans more than three by bad luck alone once in a thousand.
  std::printf("%d of %d scans without patches raised a false one\n", false_alarms, sound);
  EXPECT_LE(false_alarms, 3);
  // Some forty patches have one depth and were seen: an honest 95 % holds at least 85 % of so few (binomial,
  // 1 %).
  std::printf("patch depth  held %d of %d: %.1f %%, furthest %.2f stated half-widths; %d missed\n",
              patches.depth.held, patches.depth.told, 100 * patches.depth.rate(), patches.depth.worst,
              patches.missed);
  EXPECT_EQ(patches.missed, 0);
  EXPECT_GT(patches.depth.told, 30);
  EXPECT_GE(patches.depth.rate(), 0.85);
  for (const auto& [what, count] : counts) {
    std::printf("%-12s held %d of %d: %.1f %%, furthest %.2f stated half-widths\n", what.c_str(), count.held,
                count.told, 100 * count.rate(), count.worst);
    EXPECT_GE(count.rate(), 0.90) << what;
    EXPECT_LE(count.rate(), 0.99) << what;
  }
}

}  // namespace
}  // namespace boxfettle
