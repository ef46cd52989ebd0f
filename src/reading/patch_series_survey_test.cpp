#include <gmock/gmock.h>

#include <cmath>

#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "reading/patch_series.hpp"

namespace boxfettle {
namespace {

const demo::InventedCore& volute() {
  static const demo::InventedCore core = demo::pump_volute(2.0);
  return core;
}

const Eigen::Vector3d tongue{62, -72, 8};

demo::Scanner scanner(std::uint64_t seed) {
  demo::Scanner settings;
  settings.points = 150000;
  settings.noise_mm = 0.03;
  settings.noise_correlation_mm = 12;
  settings.correlated_noise_mm = 0.01;
  settings.seed = seed;
  return settings;
}

struct ReadSeries {
  std::vector<ScanOfSeries> scans;
  TriangleMesh surface;
  std::vector<FollowedPatch> followed() const { return followed_patches(scans, surface, &volute().box); }
};

// One scan of the volute for each set of patches.
ReadSeries read_series(const std::vector<std::vector<demo::FaultPatch>>& patches, std::uint64_t seed) {
  ReadSeries series;
  ScanSettings settings;
  settings.keep_points = true;
  for (const auto& of_scan : patches) {
    demo::BoxFaults faults;
    faults.patches = of_scan;
    const auto scan = demo::scan_core(volute().design, volute().box.parting, faults, scanner(seed++));
    ScanReading reading = read_scan(volute().design, scan.points, &volute().box, settings);
    series.surface = reading.surface;
    series.scans.push_back(scan_of_series(std::move(reading)));
  }
  return series;
}

demo::FaultPatch wear(double depth_mm) {
  return {tongue, 14, depth_mm};
}

TEST(PatchSeries, WearThatGrowsIsReadWithinItsOwnUncertaintyInEveryScan) {
  const std::vector<double> truth{0.05, 0.10, 0.20, 0.30};
  const ReadSeries series = read_series({{wear(0.05)}, {wear(0.10)}, {wear(0.20)}, {wear(0.30)}}, 901);
  const std::vector<FollowedPatch> patches = series.followed();
  ASSERT_EQ(patches.size(), 1u);
  EXPECT_EQ(patches[0].id, "P1");
  EXPECT_EQ(patches[0].kind, FindingKind::wear);
  EXPECT_LT((patches[0].where_mm - tongue).norm(), 5.0);
  EXPECT_THAT(patches[0].place, testing::StartsWith("the upper half, "));
  for (std::size_t i = 0; i < truth.size(); ++i) {
    ASSERT_TRUE(patches[0].readings[i]) << i;
    const PatchReading& reading = *patches[0].readings[i];
    EXPECT_NEAR(reading.depth_mm, truth[i], reading.u95_mm) << i;
    EXPECT_LT(reading.u95_mm, 0.03) << "half of the smallest depth, roughly: an interval that says something";
  }
}

TEST(PatchSeries, APlaceIsMeasuredAlsoWhereItIsNoFindingYet) {
  const ReadSeries series = read_series({{}, {wear(0.25)}}, 911);
  const std::vector<FollowedPatch> patches = series.followed();
  ASSERT_EQ(patches.size(), 1u);
  ASSERT_TRUE(patches[0].readings[0] && patches[0].readings[1]);
  EXPECT_NEAR(patches[0].readings[0]->depth_mm, 0, patches[0].readings[0]->u95_mm);
  EXPECT_EQ(patches[0].readings[0]->area_mm2, 0);
  EXPECT_GT(patches[0].readings[1]->area_mm2, 100);
}

TEST(PatchSeries, APlaceThatAScanDidNotSeeHasNoReadingThere) {
  ReadSeries series = read_series({{wear(0.25)}, {wear(0.28)}}, 921);
  std::erase_if(series.scans[0].points.points,
                [](const MeasuredPoint& p) { return (p.at_design_mm.cast<double>() - tongue).norm() < 20; });
  const std::vector<FollowedPatch> patches = series.followed();
  ASSERT_EQ(patches.size(), 1u);
  EXPECT_FALSE(patches[0].readings[0]);
  EXPECT_TRUE(patches[0].readings[1]);
}

TEST(PatchSeries, PlacesAreNamedInTheOrderInWhichTheyAreFoundAndWearIsNotBuildUp) {
  const demo::FaultPatch stuck{volute().box.vents.at(0).at_design_mm, 14, -0.30};
  const ReadSeries series = read_series({{wear(0.20)}, {wear(0.25), stuck}}, 931);
  const std::vector<FollowedPatch> patches = series.followed();
  ASSERT_EQ(patches.size(), 2u);
  EXPECT_EQ(patches[0].kind, FindingKind::wear);
  EXPECT_EQ(patches[1].id, "P2");
  EXPECT_EQ(patches[1].kind, FindingKind::build_up);
  ASSERT_TRUE(patches[1].readings[0] && patches[1].readings[1]);
  EXPECT_NEAR(patches[1].readings[0]->depth_mm, 0, 2 * patches[1].readings[0]->u95_mm);
  EXPECT_NEAR(patches[1].readings[1]->depth_mm, -0.30, patches[1].readings[1]->u95_mm);
}

TEST(PatchSeries, AScanOfAnotherPartIsNotPlaced) {
  const demo::InventedCore& other = demo::coarse(demo::Core::valve_body);
  ScanSettings settings;
  settings.keep_points = true;
  const auto scan = demo::scan_core(other.design, other.box.parting, {}, scanner(951));
  ScanReading reading = read_scan(volute().design, scan.points, &volute().box, settings);
  reading.pose_ambiguous =
      false;  // that it fits nowhere well is another doubt, and not the one asked for here
  EXPECT_FALSE(scan_of_series(std::move(reading)).placed);
}

TEST(PatchSeries, AScanThatCannotBePlacedFindsNothingAndReadsNothing) {
  ReadSeries series = read_series({{wear(0.25)}, {wear(0.28)}}, 941);
  series.scans[0].placed = false;
  const std::vector<FollowedPatch> patches = series.followed();
  ASSERT_EQ(patches.size(), 1u);
  EXPECT_FALSE(patches[0].readings[0]);
}

}  // namespace
}  // namespace boxfettle
