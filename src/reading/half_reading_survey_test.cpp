#include <gmock/gmock.h>
#include <tbb/task_arena.h>

#include <cmath>
#include <iostream>
#include <numbers>
#include <sstream>

#include "corebox/box_file.hpp"
#include "demo/invented_cores.hpp"
#include "demo/plain_solids.hpp"
#include "demo/synthetic_half.hpp"
#include "input/input_error.hpp"
#include "reading/flatness.hpp"
#include "reading/half_reading.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using testing::Contains;
using testing::HasSubstr;

constexpr double degrees = 180 / std::numbers::pi;

demo::Scanner scanner(std::uint64_t seed, std::size_t points = 150000) {
  demo::Scanner s;
  s.points = points;
  s.seed = seed;
  return s;
}

// A table, strays, and a corner of the block unseen.
demo::Scanner rough_scanner(std::uint64_t seed) {
  demo::Scanner s = scanner(seed);
  s.table = true;
  s.outlier_fraction = 0.01;
  s.unseen_fraction = 0.03;
  return s;
}

ScanReading read(const demo::ToolHalf& tool, const demo::Scanner& with) {
  return read_half(tool.design, demo::scan_half(tool, with).points, tool.half, tool.box);
}

const Finding* find(const ScanReading& reading, FindingKind kind) {
  for (const Finding& f : reading.findings)
    if (f.kind == kind) return &f;
  return nullptr;
}

// The flatness of the face as made, without its border as the reading leaves it out: between a fifth of a
// square and a square and a fifth, as the grid happens to fall on the block, of squares of some 6 mm. The
// middle of that is taken.
struct TrueForm {
  double least_squares_mm, minimum_zone_mm, offset_mm;
  Vector2d tilt_deg;
};
TrueForm true_form(const demo::ToolHalf& tool, const Vector2d& centroid) {
  constexpr double edge_mm = 4, step_mm = 2;
  const Vector2d low = tool.low_mm.array() + edge_mm, size = (tool.high_mm - low).array() - edge_mm;
  const Eigen::Array2i steps = (size / step_mm).array().ceil().cast<int>();
  std::vector<FacePoint> face;
  for (int i = 0; i <= steps.x(); ++i)
    for (int j = 0; j <= steps.y(); ++j) {
      const Vector2d at = low + Vector2d(i * size.x() / steps.x(), j * size.y() / steps.y());
      if (tool.on_face(at)) face.push_back({at, tool.face_form_mm(at)});
    }
  const SlopedPlane plane = least_squares_plane(face);
  const double up = tool.half == Half::lower ? degrees : -degrees;  // a bow over an uneven outline leans, too
  return {peak_to_valley_mm(face, plane), minimum_zone(face).width_mm, plane.at(centroid),
          up * Vector2d(plane.slope.y(), -plane.slope.x())};
}

// A place on the face with nothing but face for `clear_mm` about it, the nearest one to `near`.
Vector2d clear_place(const demo::ToolHalf& tool, const Vector2d& near, double clear_mm) {
  Vector2d best = near;
  double best_mm = 1e300;
  for (double x = tool.low_mm.x() + 2 * clear_mm; x < tool.high_mm.x() - 2 * clear_mm; x += 2)
    for (double y = tool.low_mm.y() + 2 * clear_mm; y < tool.high_mm.y() - 2 * clear_mm; y += 2) {
      bool clear = (Vector2d(x, y) - near).norm() < best_mm;
      for (int k = 0; clear && k < 16; ++k) {
        const double angle = k * std::numbers::pi / 8;
        clear = tool.on_face(Vector2d(x, y) + clear_mm * Vector2d(std::cos(angle), std::sin(angle))) &&
                tool.on_face(Vector2d(x, y) + 0.5 * clear_mm * Vector2d(std::cos(angle), std::sin(angle)));
      }
      if (!clear) continue;
      best = {x, y};
      best_mm = (best - near).norm();
    }
  return best;
}

// One of everything, each more than a reading of 150,000 points can miss.
struct FaultyHalf {
  const demo::InventedCore& core;
  Half half;
  demo::HalfFaults faults;
  Vector2d dent_at, burr_at;

  FaultyHalf(const demo::InventedCore& of, Half which) : core(of), half(which) {
    faults.face_offset_mm = 0.06;
    faults.face_tilt_deg = {0.02, -0.015};
    faults.bow_mm = 0.09;
    faults.twist_mm = 0.05;
    faults.dowels = {{core.box.dowels[0].id, {0.15, -0.11}, half == Half::lower ? -0.12 : 0.12}};
    const demo::ToolHalf tool(core.design, core.box, half, faults);
    dent_at = clear_place(tool, tool.high_mm, 16);
    burr_at = clear_place(tool, tool.low_mm, 16);
    faults.damage = {{dent_at, 11, -0.4}, {burr_at, 11, 0.3}};
  }
};

TEST(HalfReading, OfASoundHalfFindsNothing) {
  for (const demo::Core which : demo::every_core)
    for (const Half half : {Half::lower, Half::upper}) {
      const demo::InventedCore& core = demo::coarse(which);
      SCOPED_TRACE(core.box.name + " " + std::string(name(half)));
      const demo::HalfFaults none;
      const demo::ToolHalf tool(core.design, core.box, half, none);
      const ScanReading reading = read(tool, scanner(31));
      EXPECT_TRUE(reading.findings.empty()) << reading.findings.front().text;
      EXPECT_EQ(reading.verdict, ScanVerdict::fit);
      EXPECT_FALSE(reading.halves.has_value());
      EXPECT_GT(reading.deviation.coverage_fraction, 0.99);
      ASSERT_TRUE(reading.parting_face && reading.parting_face->told);
      // Six halves, each within u95 in 95 of 100 scans: half as much again is left for the sixth part of them
      // that is not.
      EXPECT_LT(std::abs(reading.parting_face->offset_mm), 1.5 * reading.parting_face->offset_u95_mm);
      EXPECT_LT(reading.parting_face->flatness_ls_mm, 1.5 * reading.parting_face->flatness_u95_mm);
    }
}

TEST(HalfReading, TellsDentBurrWarpAndDowelsOfEveryHalfFromAnyPoseAmongClutter) {
  for (const demo::Core which : demo::every_core)
    for (const Half half : {Half::lower, Half::upper}) {
      const demo::InventedCore& core = demo::coarse(which);
      SCOPED_TRACE(core.box.name + " " + std::string(name(half)));
      const FaultyHalf faulty(core, half);
      const demo::ToolHalf tool(core.design, core.box, half, faulty.faults);
      demo::Scanner with = rough_scanner(37);
      with.unseen_fraction = 0;
      const ScanReading reading = read(tool, with);
      const Finding *dent = find(reading, FindingKind::dent),
                    *burr = find(reading, FindingKind::raised_metal);
      ASSERT_NE(dent, nullptr);
      ASSERT_NE(burr, nullptr);
      EXPECT_LT((core.box.parting.at_parting_mm(dent->where_mm) - faulty.dent_at).norm(), 4);
      EXPECT_LT((core.box.parting.at_parting_mm(burr->where_mm) - faulty.burr_at).norm(), 4);
      EXPECT_NEAR(dent->depth_mm, 0.4, dent->u95_mm + 0.02);  // the form beneath is fitted, too
      EXPECT_NEAR(burr->depth_mm, -0.3, burr->u95_mm + 0.02);
      EXPECT_EQ(burr->severity, Severity::hold);
      EXPECT_LE(dent->severity, Severity::watch);  // away from the cavity
      const TrueForm truth = true_form(tool, core.box.parting.at_parting_mm({0, 0, 0}));
      EXPECT_NEAR(reading.parting_face->flatness_ls_mm, truth.least_squares_mm,
                  reading.parting_face->flatness_u95_mm);
      EXPECT_NEAR(reading.parting_face->flatness_min_zone_mm, truth.minimum_zone_mm,
                  reading.parting_face->flatness_u95_mm);
      EXPECT_LT((reading.parting_face->tilt_deg - truth.tilt_deg).norm(),
                2 * reading.parting_face->tilt_u95_deg);
      const DowelReading& dowel = reading.dowels.at(0);
      ASSERT_TRUE(dowel.told) << dowel.why_not;
      EXPECT_EQ(dowel.kind, half == Half::lower ? DowelKind::pin : DowelKind::bore);
      EXPECT_LT((dowel.offset_mm - faulty.faults.dowels[0].shift_mm).norm(), 2 * dowel.at_u95_mm);
    }
}

Eigen::Matrix3d turned(const RigidPose& a, const RigidPose& b) {
  return (a * b.inverse()).rotation;
}

TEST(HalfReading, TurningTheScanTurnsNothingInTheResult) {
  const FaultyHalf faulty(demo::coarse(demo::Core::volute), Half::lower);
  const demo::ToolHalf tool(faulty.core.design, faulty.core.box, Half::lower, faulty.faults);
  demo::Scanner still = scanner(41);
  still.arbitrary_pose = false;
  const PointCloud points = demo::scan_half(tool, still).points;
  const ScanReading here = read_half(tool.design, points, Half::lower, tool.box);
  const RigidPose move = small_motion({0.4, -1.9, 1.2}, {150, -80, 40}, {0, 0, 0});
  PointCloud moved;
  moved.origin_mm = move.translation_mm;
  for (std::size_t i = 0; i < points.size(); ++i)
    moved.offsets_mm.push_back((move * points.point_mm(i) - moved.origin_mm).cast<float>());
  const ScanReading there = read_half(tool.design, moved, Half::lower, tool.box);
  EXPECT_LT(rotation_vector(turned(there.design_from_scan * move, here.design_from_scan)).norm() * degrees,
            0.01);
  // Another sample of points is fitted, so the fits differ by their own noise and no more.
  EXPECT_NEAR(here.parting_face->offset_mm, there.parting_face->offset_mm, 0.003);
  EXPECT_NEAR(here.parting_face->flatness_ls_mm, there.parting_face->flatness_ls_mm,
              here.parting_face->flatness_u95_mm);
  for (std::size_t i = 0; i < here.dowels.size(); ++i)
    EXPECT_LT((here.dowels[i].at_parting_mm - there.dowels[i].at_parting_mm).norm(),
              here.dowels[i].at_u95_mm);
  EXPECT_EQ(here.verdict, there.verdict);
}

TEST(HalfReading, WearOfTheCavityIsPositiveAndBuildUpNegativeAsOnACore) {
  const demo::InventedCore& core = demo::coarse(demo::Core::volute);
  for (const double depth_mm : {0.4, -0.4}) {
    demo::HalfFaults faults;
    faults.patches = {{{60, -106, 30}, 15, depth_mm}};
    const demo::ToolHalf tool(core.design, core.box, Half::upper, faults);
    const ScanReading reading = read(tool, scanner(43));
    const Finding* found = find(reading, depth_mm > 0 ? FindingKind::wear : FindingKind::build_up);
    ASSERT_NE(found, nullptr);
    EXPECT_NEAR(found->depth_mm, depth_mm, 0.08);
    EXPECT_LT((found->where_mm - faults.patches[0].centre_mm).norm(), 8);
    EXPECT_EQ(reading.verdict, ScanVerdict::hold);
  }
}

TEST(HalfReading, ADentAtTheCavitysEdgeHoldsWhereOneAwayFromItIsOnlyWatched) {
  const demo::InventedCore& core = demo::coarse(demo::Core::volute);
  const demo::HalfFaults none;
  const demo::ToolHalf sound(core.design, core.box, Half::lower, none);
  double x = sound.low_mm.x() + 2;  // inwards from the block's side to the core's outline
  while (sound.on_face({x, 0})) x += 0.5;
  demo::HalfFaults faults;
  faults.damage = {{{x - 5, 0}, 9, -0.5}};
  const demo::ToolHalf tool(core.design, core.box, Half::lower, faults);
  const ScanReading reading = read(tool, scanner(47));
  const Finding* dent = find(reading, FindingKind::dent);
  ASSERT_NE(dent, nullptr);
  EXPECT_EQ(dent->severity, Severity::hold);
  EXPECT_THAT(dent->text, HasSubstr("fin"));
}

TEST(HalfReading, StraysAreCountedAsNotOfTheHalf) {
  const demo::InventedCore& core = demo::coarse(demo::Core::volute);
  const demo::HalfFaults none;
  const demo::ToolHalf tool(core.design, core.box, Half::lower, none);
  demo::Scanner with = scanner(51);
  const double sides_alone = read(tool, with).deviation.outlier_fraction;  // the block's own sides
  with.outlier_fraction = 0.1;
  // Every tenth point is a stray, and few of those fall on the half by chance.
  EXPECT_NEAR(read(tool, with).deviation.outlier_fraction, 0.9 * sides_alone + 0.1, 0.01);
}

TEST(HalfReading, OfTheOtherHalfCannotTellAndSaysSo) {
  for (const demo::Core which : demo::every_core) {
    const demo::InventedCore& core = demo::coarse(which);
    const demo::HalfFaults none;
    const demo::ToolHalf tool(core.design, core.box, Half::upper, none);
    const ScanReading reading =
        read_half(core.design, demo::scan_half(tool, scanner(53)).points, Half::lower, core.box);
    EXPECT_EQ(reading.verdict, ScanVerdict::cannot_tell);
    EXPECT_TRUE(reading.findings.empty()) << "faults were told of a half that was not scanned";
    EXPECT_THAT(reading.notes, Contains(HasSubstr("the other half was scanned")));
  }
}

// Three millimetres of baked resin over a good part of the cavity: little lies on the design, but nothing
// lies on the other half's.
TEST(HalfReading, OfAHalfThickWithBuildUpIsNotTakenForTheOther) {
  const demo::InventedCore& core = demo::coarse(demo::Core::jacket);
  demo::HalfFaults faults;
  const Eigen::Vector3d middle = 0.5 * (bounds(core.design).low + bounds(core.design).high);
  faults.patches.push_back({middle, 0.3 * bounds(core.design).diagonal(), -3});
  const demo::ToolHalf tool(core.design, core.box, Half::lower, faults);
  const ScanReading reading =
      read_half(core.design, demo::scan_half(tool, scanner(54)).points, Half::lower, core.box);
  EXPECT_EQ(reading.verdict, ScanVerdict::hold);
  EXPECT_NE(find(reading, FindingKind::build_up), nullptr);
}

TEST(HalfReading, OfACoreInsteadOfAHalfCannotTell) {
  const demo::InventedCore& core = demo::coarse(demo::Core::volute);
  const demo::SyntheticScan scan = demo::scan_core(core.design, core.box.parting, {}, scanner(59, 60000));
  const ScanReading reading = read_half(core.design, scan.points, Half::lower, core.box);
  EXPECT_EQ(reading.verdict, ScanVerdict::cannot_tell);
}

TEST(HalfReading, WithAThirdOfTheScanMissingStillTellsTheRestAndSaysSo) {
  const demo::InventedCore& core = demo::coarse(demo::Core::jacket);
  const FaultyHalf faulty(core, Half::lower);
  const demo::ToolHalf tool(core.design, core.box, Half::lower, faulty.faults);
  demo::Scanner part = scanner(61);
  part.unseen_fraction = 0.35;
  const ScanReading reading = read(tool, part);
  ASSERT_TRUE(reading.parting_face->told);
  EXPECT_LT(reading.deviation.coverage_fraction, 0.95);
  EXPECT_NE(find(reading, FindingKind::unseen), nullptr);
  EXPECT_NEAR(reading.parting_face->offset_mm, faulty.faults.face_offset_mm, 0.05);  // and what the warp adds
}

// Three marks picked in a scan, with an error of some tenths of a millimetre, as a box file tells them.
CoreBox block_box(const RigidPose* scan_from_design) {
  std::ostringstream file;
  file << "[box]\nid = \"TM-1\"\n[parting]\npoint_mm = [60, 35, 20]\nnormal = [0, 0, 1]\n"
       << "[[dowel]]\nid = \"D1\"\nat_mm = [-75, 0]\npin_mm = 12.0\nbush_mm = 12.05\n"
       << "[[dowel]]\nid = \"D2\"\nat_mm = [75, 0]\npin_mm = 12.0\nbush_mm = 12.05\n";
  int number = 0;
  for (const Eigen::Vector3d& at : {Eigen::Vector3d(10, 5, 20), {110, 8, 20}, {20, 65, 20}}) {
    if (scan_from_design == nullptr) break;
    const Eigen::Vector3d picked = *scan_from_design * at + Eigen::Vector3d(0.3, -0.4, 0.2);
    file << "[[datum_target]]\nid = \"T" << ++number << "\"\nat_mm = [" << at.x() << ", " << at.y() << ", "
         << at.z() << "]\nscan_mm = [" << picked.x() << ", " << picked.y() << ", " << picked.z() << "]\n";
  }
  return parse_box_file(file.str(), "box.toml");
}

// The half of a plain block lies as before when it is turned half round about the parting normal.
TEST(HalfReading, OfASymmetricHalfCannotTellUntilDatumTargetsSettleIt) {
  const TriangleMesh design = demo::block({120, 70, 40});
  const CoreBox plain = block_box(nullptr);
  const demo::HalfFaults none;
  for (const Half half : {Half::lower, Half::upper}) {
    SCOPED_TRACE(name(half));
    const demo::ToolHalf tool(design, plain, half, none);
    const demo::SyntheticScan scan = demo::scan_half(tool, scanner(91, 80000));
    const ScanReading unsettled = read_half(design, scan.points, half, plain);
    EXPECT_TRUE(unsettled.pose_ambiguous);
    EXPECT_EQ(unsettled.verdict, ScanVerdict::cannot_tell);

    const RigidPose truth = scan.scan_from_design.inverse();
    const RigidPose half_round = small_motion({0, 0, std::numbers::pi}, {0, 0, 0}, {60, 35, 20});
    for (const RigidPose& meant : {truth, half_round * truth}) {
      const RigidPose scan_from_design = meant.inverse();
      const ScanReading settled = read_half(design, scan.points, half, block_box(&scan_from_design));
      EXPECT_FALSE(settled.pose_ambiguous);
      EXPECT_LT(rotation_vector(settled.design_from_scan.rotation * meant.rotation.transpose()).norm(), 0.01);
      EXPECT_THAT(settled.notes, testing::Contains(HasSubstr("datum targets say which")));
    }
    // Marks of a scan in another frame, the core's perhaps, mean none of the half's poses.
    const RigidPose elsewhere =
        small_motion({1.1, -0.7, 0.4}, {300, 200, -100}, {0, 0, 0}) * scan.scan_from_design;
    EXPECT_TRUE(read_half(design, scan.points, half, block_box(&elsewhere)).pose_ambiguous);
  }
}

TEST(HalfReading, ThePartingPlaneOutsideTheCoreIsRefusedInWords) {
  const demo::InventedCore& core = demo::coarse(demo::Core::volute);
  CoreBox box = core.box;
  box.parting = PartingFace::through({0, 0, 500}, {0, 0, 1});
  const demo::HalfFaults none;
  const demo::ToolHalf tool(core.design, core.box, Half::upper, none);
  try {
    read_half(core.design, demo::scan_half(tool, scanner(67, 20000)).points, Half::upper, box);
    FAIL() << "a half without a cavity was read";
  } catch (const InputError& error) {
    EXPECT_THAT(error.what(), HasSubstr("upper half"));
  }
}

TEST(HalfReading, TheNumberOfThreadsChangesNothing) {
  const FaultyHalf faulty(demo::coarse(demo::Core::volute), Half::upper);
  const demo::ToolHalf tool(faulty.core.design, faulty.core.box, Half::upper, faulty.faults);
  const PointCloud points = demo::scan_half(tool, scanner(73, 60000)).points;
  const auto with_threads = [&](int threads) {
    tbb::task_arena arena(threads);
    return arena.execute([&] { return read_half(tool.design, points, tool.half, tool.box); });
  };
  const ScanReading one = with_threads(1), two = with_threads(2);
  EXPECT_EQ(one.design_from_scan.rotation, two.design_from_scan.rotation);
  EXPECT_EQ(one.parting_face->flatness_min_zone_mm, two.parting_face->flatness_min_zone_mm);
  ASSERT_EQ(one.findings.size(), two.findings.size());
  for (std::size_t i = 0; i < one.findings.size(); ++i)
    EXPECT_EQ(one.findings[i].depth_mm, two.findings[i].depth_mm);
}

// How often the figures lie within the uncertainty stated with them.
TEST(HalfReading, FiguresLieWithinTheirStatedUncertaintyAboutNinetyFiveTimesInAHundred) {
  constexpr int scans = 40;
  struct Rate {
    const char* what;
    int within = 0, of = 0;
    double worst = 0;  // error over stated uncertainty
    void add(double error, double u95) {
      within += std::abs(error) <= u95;
      ++of;
      worst = std::max(worst, std::abs(error) / u95);
    }
  };
  Rate offset{"face offset"}, tilt{"face tilt"}, flat{"flatness, least squares"},
      zone{"flatness, minimum zone"}, place{"dowel place, each axis"}, width{"dowel diameter"},
      dent{"dent depth"}, burr{"raised metal"};
  int lost = 0;
  for (int scan = 0; scan < scans; ++scan) {
    const demo::InventedCore& core = demo::coarse(demo::every_core[static_cast<std::size_t>(scan) % 3]);
    const FaultyHalf faulty(core, scan % 2 == 0 ? Half::lower : Half::upper);
    const demo::ToolHalf tool(core.design, core.box, faulty.half, faulty.faults);
    demo::Scanner with = rough_scanner(1000 + static_cast<std::uint64_t>(scan));
    with.unseen_fraction = 0;  // what flatness speaks of would be another face
    const ScanReading reading = read(tool, with);
    const PartingFaceReading& face = *reading.parting_face;
    ASSERT_TRUE(face.told) << face.why_not;
    const Vector2d centroid = core.box.parting.at_parting_mm(face.centroid_mm);
    const TrueForm truth = true_form(tool, centroid);
    offset.add(face.offset_mm - truth.offset_mm, face.offset_u95_mm);
    tilt.add(face.tilt_deg.x() - truth.tilt_deg.x(), face.tilt_u95_deg);
    flat.add(face.flatness_ls_mm - truth.least_squares_mm, face.flatness_u95_mm);
    zone.add(face.flatness_min_zone_mm - truth.minimum_zone_mm, face.flatness_u95_mm);
    for (const DowelReading& d : reading.dowels) {
      if (!d.told) continue;
      const bool moved = d.id == faulty.faults.dowels[0].id;
      const Vector2d shift = moved ? faulty.faults.dowels[0].shift_mm : Vector2d(0, 0);
      if (d.kind != DowelKind::slot)
        for (const int axis : {0, 1}) place.add(d.offset_mm[axis] - shift[axis], d.at_u95_mm);
      width.add(d.diameter_mm - d.nominal_mm - (moved ? faulty.faults.dowels[0].diameter_change_mm : 0),
                d.diameter_u95_mm);
    }
    const Finding *found_dent = find(reading, FindingKind::dent),
                  *found_burr = find(reading, FindingKind::raised_metal);
    if (found_dent == nullptr || found_burr == nullptr) {
      ++lost;
      continue;
    }
    dent.add(found_dent->depth_mm - 0.4, found_dent->u95_mm);
    burr.add(found_burr->depth_mm + 0.3, found_burr->u95_mm);
  }
  for (const Rate* rate : {&offset, &tilt, &flat, &zone, &place, &width, &dent, &burr}) {
    std::cout << "    " << rate->what << ": " << rate->within << " of " << rate->of << " within u95; worst "
              << rate->worst << " of it\n";
    // Binomial: 95 % of 40 leaves fewer than 34 within in about one case in a hundred.
    EXPECT_GE(rate->within, 0.85 * rate->of) << rate->what;
  }
  std::cout << "    damage not seen: " << lost << " of " << scans << "\n";
  EXPECT_EQ(lost, 0);
}

}  // namespace
}  // namespace boxfettle
