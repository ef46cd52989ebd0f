#include "reading/scan_reading.hpp"

#include <gmock/gmock.h>
#include <tbb/task_arena.h>

#include <cmath>
#include <numbers>

#include "demo/invented_cores.hpp"
#include "demo/plain_solids.hpp"
#include "demo/synthetic_scan.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using testing::Contains;
using testing::HasSubstr;

constexpr double degrees = 180 / std::numbers::pi;

const demo::InventedCore& volute() {
  return demo::coarse(demo::Core::volute);
}

demo::BoxFaults usual_faults(const CoreBox& box) {
  demo::BoxFaults faults;
  faults.mismatch_mm = {0.28, -0.21};  // 0.35 mm together
  faults.gap_mm = 0.20;
  faults.patches.push_back({box.blow_inlets.at(0).at_design_mm, 15, 0.4});
  return faults;
}

demo::Scanner scanner(std::uint64_t seed, std::size_t points = 150000) {
  demo::Scanner s;
  s.points = points;
  s.seed = seed;
  return s;
}

const Finding* find(const ScanReading& reading, FindingKind kind) {
  for (const Finding& f : reading.findings)
    if (f.kind == kind) return &f;
  return nullptr;
}

// The truth is stated at the parting point; a reading speaks of the outline's centroid.
Eigen::Vector2d true_mismatch_at(const demo::BoxFaults& faults, const PartingFace& parting,
                                 const Eigen::Vector3d& at_mm) {
  const Eigen::Vector2d arm = parting.at_parting_mm(at_mm);
  return faults.mismatch_mm + faults.rotation_deg / degrees * Eigen::Vector2d(-arm.y(), arm.x());
}

TEST(ScanReading, OfEveryInventedCoreTellsMismatchGapAndWearFromAnyPose) {
  for (const demo::Core which : demo::every_core) {
    const demo::InventedCore& core = demo::coarse(which);
    SCOPED_TRACE(core.box.name);
    const demo::BoxFaults faults = usual_faults(core.box);
    const demo::SyntheticScan scan = demo::scan_core(core.design, core.box.parting, faults, scanner(31));
    const ScanReading reading = read_scan(core.design, scan.points, &core.box);
    ASSERT_TRUE(reading.halves && reading.halves->told) << reading.halves->why_not;
    EXPECT_FALSE(reading.pose_ambiguous);
    EXPECT_NEAR((reading.halves->mismatch_mm - faults.mismatch_mm).norm(), 0, 0.03);
    EXPECT_NEAR(reading.halves->gap_mm, faults.gap_mm, 0.03);
    EXPECT_NEAR(reading.noise_mm, 0.05, 0.01);
    const Finding* wear = find(reading, FindingKind::wear);
    ASSERT_NE(wear, nullptr);
    EXPECT_NEAR(wear->depth_mm, 0.4, 0.08);
    EXPECT_LT((wear->where_mm - faults.patches[0].centre_mm).norm(), 8.0);
    EXPECT_EQ(reading.verdict, ScanVerdict::hold);
  }
}

TEST(ScanReading, OfASoundCoreFindsNothingAboveANote) {
  for (const demo::Core which : demo::every_core) {
    const demo::InventedCore& core = demo::coarse(which);
    SCOPED_TRACE(core.box.name);
    const demo::SyntheticScan scan = demo::scan_core(core.design, core.box.parting, {}, scanner(37));
    const ScanReading reading = read_scan(core.design, scan.points, &core.box);
    for (const Finding& f : reading.findings) EXPECT_EQ(f.severity, Severity::note) << f.text;
    EXPECT_EQ(reading.verdict, ScanVerdict::fit);
    EXPECT_GT(reading.deviation.coverage_fraction, 0.99);
    EXPECT_NEAR(reading.deviation.sd_mm, 0.05, 0.003);
  }
}

TEST(ScanReading, TurningTheScanTurnsNothingInTheResult) {
  demo::Scanner still = scanner(41);
  still.arbitrary_pose = false;
  const demo::BoxFaults faults = usual_faults(volute().box);
  const PointCloud points = demo::scan_core(volute().design, volute().box.parting, faults, still).points;
  const ScanReading here = read_scan(volute().design, points, &volute().box);
  for (const Eigen::Vector3d& turn : {Eigen::Vector3d(3.1, 0.2, 0), Eigen::Vector3d(-0.4, 1.9, 1.2)}) {
    const RigidPose move = small_motion(turn, {150, -80, 40}, {0, 0, 0});
    PointCloud moved;
    moved.origin_mm = move.translation_mm;
    for (std::size_t i = 0; i < points.size(); ++i)
      moved.offsets_mm.push_back((move * points.point_mm(i) - moved.origin_mm).cast<float>());
    const ScanReading there = read_scan(volute().design, moved, &volute().box);
    const RigidPose between = here.design_from_scan.inverse() * there.design_from_scan * move;
    EXPECT_LT(rotation_vector(between.rotation).norm() * degrees, 0.01);
    // Another sample of points is fitted, so the fits differ by their own noise and no more.
    EXPECT_LT((here.halves->mismatch_mm - there.halves->mismatch_mm).norm(), 0.005);
    EXPECT_NEAR(here.halves->gap_mm, there.halves->gap_mm, 0.005);
    EXPECT_EQ(here.verdict, there.verdict);
  }
}

TEST(ScanReading, TellsATurnedAndTiltedUpperHalf) {
  demo::BoxFaults faults;
  faults.mismatch_mm = {-0.1, 0.15};
  faults.rotation_deg = 0.12;
  faults.gap_mm = 0.1;
  faults.tilt_deg = {0.04, -0.03};
  const demo::SyntheticScan scan =
      demo::scan_core(volute().design, volute().box.parting, faults, scanner(43));
  const ScanReading reading = read_scan(volute().design, scan.points, &volute().box);
  ASSERT_TRUE(reading.halves && reading.halves->told);
  const HalvesReading& halves = *reading.halves;
  EXPECT_NEAR(halves.rotation_deg, faults.rotation_deg, 0.01);
  EXPECT_NEAR(halves.tilt_deg.x(), faults.tilt_deg.x(), 0.01);
  EXPECT_NEAR(halves.tilt_deg.y(), faults.tilt_deg.y(), 0.01);
  const Eigen::Vector2d truth = true_mismatch_at(faults, volute().box.parting, halves.centroid_mm);
  EXPECT_LT((halves.mismatch_mm - truth).norm(), 0.03);
  EXPECT_GT(halves.mismatch_worst_mm, halves.mismatch_mm.norm());
}

TEST(ScanReading, BuildUpIsMissingFromTheCoreAndWearIsAddedToIt) {
  demo::BoxFaults faults;
  faults.patches.push_back({volute().box.vents.at(0).at_design_mm, 14, -0.35});
  const demo::SyntheticScan scan =
      demo::scan_core(volute().design, volute().box.parting, faults, scanner(47));
  const ScanReading reading = read_scan(volute().design, scan.points, &volute().box);
  EXPECT_EQ(find(reading, FindingKind::wear), nullptr);
  const Finding* build_up = find(reading, FindingKind::build_up);
  ASSERT_NE(build_up, nullptr);
  EXPECT_NEAR(build_up->depth_mm, -0.35, 0.08);
  EXPECT_LT(build_up->volume_mm3, 0);
  EXPECT_FALSE(build_up->vertices.empty());
}

TEST(ScanReading, AWholeLoosePieceOffTogetherIsToldAsThePieceNotAsBuildUp) {
  const demo::InventedCore& core = demo::coarse(demo::Core::valve_body);
  const LoosePiece& piece = core.box.loose_pieces.at(0);
  demo::BoxFaults faults;
  faults.pieces.push_back({piece.region_min_mm, piece.region_max_mm, -1.0});
  const demo::SyntheticScan scan = demo::scan_core(core.design, core.box.parting, faults, scanner(49));
  const ScanReading reading = read_scan(core.design, scan.points, &core.box);
  const Finding* missing = find(reading, FindingKind::missing_piece);
  ASSERT_NE(missing, nullptr);
  EXPECT_THAT(missing->text, HasSubstr(piece.id));
  EXPECT_NEAR(missing->depth_mm, -1.0, 0.1);
  EXPECT_EQ(missing->severity, Severity::hold);
}

TEST(ScanReading, AMarkTheSizeOfAVentIsToldAsThatVentsPrint) {
  const Vent& vent = volute().box.vents.at(0);
  demo::BoxFaults faults;
  faults.patches.push_back({vent.at_design_mm, 0.6 * vent.diameter_mm, -0.5});
  const demo::SyntheticScan scan =
      demo::scan_core(volute().design, volute().box.parting, faults, scanner(51, 400000));
  const ScanReading reading = read_scan(volute().design, scan.points, &volute().box);
  const Finding* print = find(reading, FindingKind::vent_print);
  ASSERT_NE(print, nullptr);
  EXPECT_THAT(print->text, HasSubstr("Vent " + vent.id));
  EXPECT_EQ(find(reading, FindingKind::build_up), nullptr);
  EXPECT_NEAR(print->depth_mm, -0.5, 0.12);
}

TEST(ScanReading, SurvivesStraysAndAMissingThird) {
  demo::Scanner rough = scanner(53);
  rough.outlier_fraction = 0.1;
  rough.unseen_fraction = 0.33;
  const demo::BoxFaults faults = usual_faults(volute().box);
  const demo::SyntheticScan scan = demo::scan_core(volute().design, volute().box.parting, faults, rough);
  const ScanReading reading = read_scan(volute().design, scan.points, &volute().box);
  ASSERT_TRUE(reading.halves && reading.halves->told);
  EXPECT_NEAR((reading.halves->mismatch_mm - faults.mismatch_mm).norm(), 0, 0.03);
  EXPECT_NEAR(reading.halves->gap_mm, faults.gap_mm, 0.03);
  EXPECT_NEAR(reading.deviation.coverage_fraction, 0.67, 0.06);
  EXPECT_NE(find(reading, FindingKind::unseen), nullptr);
}

TEST(ScanReading, FindsTheUnitItWasNotTold) {
  demo::Scanner still = scanner(59, 60000);
  PointCloud points = demo::scan_core(volute().design, volute().box.parting, {}, still).points;
  for (const LengthUnit unit : {LengthUnit::mm, LengthUnit::cm, LengthUnit::m, LengthUnit::inch}) {
    PointCloud scaled = points;
    scaled.origin_mm /= mm_per(unit);
    for (Eigen::Vector3f& p : scaled.offsets_mm) p /= static_cast<float>(mm_per(unit));
    const ScanReading reading = read_scan(volute().design, scaled, &volute().box);
    EXPECT_EQ(reading.scan_unit, unit);
    EXPECT_EQ(reading.verdict, ScanVerdict::fit);
  }
}

TEST(ScanReading, RefusesAUnitThatCannotBe) {
  const demo::SyntheticScan scan =
      demo::scan_core(volute().design, volute().box.parting, {}, scanner(61, 20000));
  ScanSettings inches;
  inches.scan_unit = LengthUnit::inch;
  try {
    read_scan(volute().design, scan.points, &volute().box, inches);
    FAIL() << "a core ten metres long was read";
  } catch (const InputError& error) {
    EXPECT_THAT(error.what(), HasSubstr("inch"));
    EXPECT_THAT(error.mend(), HasSubstr("mm"));
  }
}

TEST(ScanReading, OfAnotherPartCannotTell) {
  const demo::InventedCore& other = demo::coarse(demo::Core::valve_body);
  const demo::SyntheticScan scan = demo::scan_core(other.design, other.box.parting, {}, scanner(67, 60000));
  const ScanReading reading = read_scan(volute().design, scan.points, &volute().box);
  EXPECT_EQ(reading.verdict, ScanVerdict::cannot_tell);
  EXPECT_TRUE(reading.findings.empty()) << "faults were told of a part that was not scanned";
  EXPECT_FALSE(reading.halves->told);
  EXPECT_THAT(reading.notes, Contains(HasSubstr("of another part")));
}

TEST(ScanReading, OfACoreWhoseHalvesStandFarApartIsStillOfThisPart) {
  demo::BoxFaults faults;
  faults.gap_mm = 3;
  faults.mismatch_mm = {2, -2};
  const demo::SyntheticScan scan =
      demo::scan_core(volute().design, volute().box.parting, faults, scanner(68, 60000));
  EXPECT_EQ(read_scan(volute().design, scan.points, &volute().box).verdict, ScanVerdict::hold);
  EXPECT_EQ(read_scan(volute().design, scan.points, nullptr).verdict, ScanVerdict::hold);
}

TEST(ScanReading, OfLessThanHalfTheSurfaceCannotTell) {
  demo::Scanner part = scanner(71, 60000);
  part.unseen_fraction = 0.6;
  const demo::SyntheticScan scan = demo::scan_core(volute().design, volute().box.parting, {}, part);
  EXPECT_EQ(read_scan(volute().design, scan.points, &volute().box).verdict, ScanVerdict::cannot_tell);
}

TEST(ScanReading, TheNumberOfThreadsChangesNothing) {
  const demo::BoxFaults faults = usual_faults(volute().box);
  const demo::SyntheticScan scan =
      demo::scan_core(volute().design, volute().box.parting, faults, scanner(73, 200000));
  ScanSettings settings;
  settings.keep_points = true;
  const auto with_threads = [&](int threads) {
    tbb::task_arena arena(threads);
    return arena.execute([&] { return read_scan(volute().design, scan.points, &volute().box, settings); });
  };
  const ScanReading one = with_threads(1), two = with_threads(7);
  EXPECT_EQ(one.design_from_scan.rotation, two.design_from_scan.rotation);
  EXPECT_EQ(one.halves->mismatch_mm, two.halves->mismatch_mm);
  ASSERT_EQ(one.findings.size(), two.findings.size());
  for (std::size_t i = 0; i < one.findings.size(); ++i)
    EXPECT_EQ(one.findings[i].depth_mm, two.findings[i].depth_mm);
  EXPECT_THAT(one.vertex_deviation_mm,
              testing::Pointwise(testing::NanSensitiveFloatEq(), two.vertex_deviation_mm));
  ASSERT_EQ(one.points->points.size(), two.points->points.size());
  std::size_t otherwise = 0;
  for (std::size_t i = 0; i < one.points->points.size(); ++i)
    otherwise += one.points->points[i].deviation_mm != two.points->points[i].deviation_mm;
  EXPECT_EQ(otherwise, 0u);
}

TEST(ScanReading, StopsWhenToldTo) {
  const demo::SyntheticScan scan =
      demo::scan_core(volute().design, volute().box.parting, {}, scanner(79, 20000));
  ScanSettings settings;
  settings.progress = [](double share, std::string_view) { return share < 0.3; };
  EXPECT_THROW(read_scan(volute().design, scan.points, &volute().box, settings), ReadingCancelled);
}

// A plain block lies as before when it is turned half round about any of its axes.
TEST(ScanReading, OfASymmetricCoreNamesTheAlternativesUntilDatumTargetsSettleIt) {
  const TriangleMesh design = demo::block({120, 70, 40});
  CoreBox box;
  box.parting = PartingFace::through({60, 35, 20}, {0, 0, 1});
  const demo::SyntheticScan scan = demo::scan_core(design, box.parting, {}, scanner(89, 60000));
  const ScanReading unsettled = read_scan(design, scan.points, &box);
  EXPECT_TRUE(unsettled.pose_ambiguous);
  EXPECT_EQ(unsettled.alternatives.size(), 3u);
  EXPECT_EQ(unsettled.verdict, ScanVerdict::cannot_tell);

  // Roughly where the scan truly lies: off by three degrees and three millimetres.
  const RigidPose truth = scan.scan_from_design.inverse();
  box.rough_design_from_scan = small_motion({0.03, -0.04, 0.02}, {2, 1, -2}, {60, 35, 20}) * truth;
  const ScanReading settled = read_scan(design, scan.points, &box);
  EXPECT_FALSE(settled.pose_ambiguous);
  EXPECT_LT(rotation_vector(settled.design_from_scan.rotation * truth.rotation.transpose()).norm(), 0.01);
  EXPECT_THAT(settled.notes, testing::Contains(HasSubstr("more than one way")));
}

TEST(ScanReading, TurnsFacetsOfTheDesignThatFaceAgainstTheirNeighbours) {
  const demo::SyntheticScan scan =
      demo::scan_core(volute().design, volute().box.parting, {}, scanner(97, 60000));
  TriangleMesh spoilt = volute().design;
  for (std::size_t t = 0; t < spoilt.triangles.size(); t += 50)
    std::swap(spoilt.triangles[t][1], spoilt.triangles[t][2]);
  const ScanReading reading = read_scan(spoilt, scan.points, &volute().box);
  EXPECT_EQ(reading.verdict, ScanVerdict::fit);
  EXPECT_THAT(reading.notes, testing::Contains(HasSubstr("faced against their neighbours")));
}

TEST(ScanReading, RefusesAnOpenDesignAndTurnsAnInsideOutOne) {
  const demo::SyntheticScan scan =
      demo::scan_core(volute().design, volute().box.parting, {}, scanner(83, 60000));
  TriangleMesh open = volute().design;
  open.triangles.resize(open.triangles.size() - 5);
  EXPECT_THROW(read_scan(open, scan.points, nullptr), InputError);
  TriangleMesh turned = volute().design;
  for (Triangle& t : turned.triangles) std::swap(t[1], t[2]);
  const ScanReading reading = read_scan(turned, scan.points, &volute().box);
  EXPECT_EQ(reading.verdict, ScanVerdict::fit);
  EXPECT_THAT(reading.notes, testing::Contains(HasSubstr("inside out")));
}

// Exported in metres, which STL does not say, a core of 300 mm would be one of 0.3.
TEST(ScanReading, ADesignInMetresIsRefusedWithWhatToDo) {
  TriangleMesh design = volute().design;
  for (Eigen::Vector3d& v : design.vertices) v *= 1e-3;
  EXPECT_THAT([&] { read_scan(design, PointCloud{}, nullptr); },
              testing::ThrowsMessage<InputError>(testing::AllOf(HasSubstr("read as mm it is only 0."),
                                                                HasSubstr("metres may have been written"))));
}

}  // namespace
}  // namespace boxfettle
