// Are the stated 95 % intervals honest? Random boxes with random faults, scanned by random scanners, and how
// often each interval holds the truth. Between 90 and 99 % is asked: with 200 scans an honest 95 % lies there
// all but surely (binomial: under 0.3 % below, and 99 % is passed only when the interval is wider than it
// says).
#include <gtest/gtest.h>

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

TEST(StatedIntervals, HoldTheTruthInNinetyToNinetyNineOfAHundredScans) {
  Counts counts;
  int told = 0;
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
  }
  std::printf("%d of %d scans could be told\n", told, scans);
  EXPECT_GT(told, scans * 8 / 10);
  for (const auto& [what, count] : counts) {
    std::printf("%-12s held %d of %d: %.1f %%, furthest %.2f stated half-widths\n", what.c_str(), count.held,
                count.told, 100 * count.rate(), count.worst);
    EXPECT_GE(count.rate(), 0.90) << what;
    EXPECT_LE(count.rate(), 0.99) << what;
  }
}

}  // namespace
}  // namespace boxfettle
