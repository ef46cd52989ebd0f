#include "closing/parting_gap.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "closing/core_weight.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using testing::Contains;
using testing::HasSubstr;

// A block 100 x 60 x 40 mm, parted half-way up.
TriangleMesh block() {
  TriangleMesh mesh;
  for (int i = 0; i < 8; ++i)
    mesh.vertices.emplace_back((i & 1) != 0 ? 50 : -50, (i & 2) != 0 ? 30 : -30, (i & 4) != 0 ? 20 : -20);
  mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                    {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return mesh;
}

CoreBox box() {
  CoreBox box;
  box.id = "TM-0999";
  box.air.blow_bar = 3;
  for (const auto& [x, y] : {std::pair{-70, -50}, {70, -50}, {-70, 50}, {70, 50}})
    box.clamps.push_back(
        {"C" + std::to_string(box.clamps.size() + 1), {x, y}, Clamp::Kind::toggle, "", "", 0, 2000});
  box.vents.push_back({"V1", {0, 0, 20}, 10, 0.25, 0, Half::upper});
  return box;
}

void read(CoreBox& box, double at_left, double at_right, double unclamped_more = 0) {
  for (const auto& [x, y] : {std::pair{-60, -40}, {60, -40}, {-60, 40}, {60, 40}, {0, -40}, {0, 40}}) {
    const double share = (x + 60) / 120.0, open = at_left + share * (at_right - at_left);
    box.gap_readings.push_back({Vector2d(x, y), open, open + unclamped_more});
  }
}

TEST(CavityFootprint, OfABlockIsItsRectangle) {
  const CavityFootprint footprint = cavity_footprint(block(), box().parting);
  EXPECT_NEAR(footprint.section_area_mm2, 6000, 1e-9);
  EXPECT_NEAR(footprint.projected_area_mm2, 6000, 1e-9);
  EXPECT_NEAR(footprint.cavity_volume_mm3, 240000, 1e-6);
  EXPECT_LT(footprint.centroid_mm.norm(), 1e-9);
  EXPECT_EQ(footprint.longest_mm, 100);
}

TEST(CavityFootprint, OfACavityThatLiesOnTheFaceIsFoundAHairBesideIt) {
  for (const double z : {-20.0, 20.0}) {
    const CavityFootprint footprint = cavity_footprint(block(), PartingFace::through({0, 0, z}, {0, 0, 1}));
    EXPECT_NEAR(footprint.section_area_mm2, 6000, 1e-9) << z;
    EXPECT_EQ(footprint.outlines.size(), 1U);
  }
}

TEST(PartingGap, OfAnEvenOpeningAddsOpeningTimesAreaAndLeaksAlongTheOutline) {
  CoreBox open = box();
  read(open, 0.3, 0.3);
  const CavityFootprint footprint = cavity_footprint(block(), open.parting);
  const PartingGap gap = parting_gap(open, &footprint);
  EXPECT_NEAR(gap.growth->mean_mm, 0.3, 1e-12);
  EXPECT_NEAR(gap.added->volume_cm3, 0.3 * 6000 / 1000, 1e-9);
  EXPECT_NEAR(gap.added->weight_g, 0.3 * 6000 / 1000 * 1.55, 1e-9);
  EXPECT_NEAR(gap.leak->area_mm2, 0.3 * 320, 1e-9);
  EXPECT_EQ(gap.verdict, ClosingVerdict::hold);
  EXPECT_EQ(gap.closes_under_clamp, false);
  EXPECT_EQ(gap.sand, SandEscape::single_grains);
}

TEST(PartingGap, ThatLeansGrowsMostOnItsOpenSide) {
  CoreBox open = box();
  read(open, 0.0, 0.36);
  const CavityFootprint footprint = cavity_footprint(block(), open.parting);
  const PartingGap gap = parting_gap(open, &footprint);
  EXPECT_NEAR(gap.growth->mean_mm, 0.18,
              2e-4);  // 0 to 0.36 over the readings, the block lies about their middle
  EXPECT_NEAR(gap.growth->max_mm, 0.33, 1e-9);  // at x = 50
  EXPECT_NEAR(gap.growth->at_parting_mm.x(), 50, 1e-9);
  ASSERT_FALSE(gap.causes.empty());
  EXPECT_EQ(gap.causes.front().cause, GapCause::dirt);
}

TEST(PartingGap, ThatTheClampsCloseIsPutDownToWarp) {
  CoreBox open = box();
  read(open, 0.02, 0.03, 0.30);
  const CavityFootprint footprint = cavity_footprint(block(), open.parting);
  const PartingGap gap = parting_gap(open, &footprint);
  EXPECT_EQ(gap.closes_under_clamp, true);
  EXPECT_EQ(gap.verdict, ClosingVerdict::fit);
  ASSERT_FALSE(gap.causes.empty());
  EXPECT_EQ(gap.causes.front().cause, GapCause::warp);
}

TEST(PartingGap, WithWeakClampsIsPutDownToThemAndHeld) {
  CoreBox open = box();
  for (Clamp& clamp : open.clamps) clamp.force_N = 300;  // 1,200 N against 3 bar on 60 cm2: 1,800 N
  read(open, 0.25, 0.28, 0.02);
  const CavityFootprint footprint = cavity_footprint(block(), open.parting);
  const PartingGap gap = parting_gap(open, &footprint);
  EXPECT_NEAR(gap.clamps.opening_N, 1800, 1e-6);
  EXPECT_LT(gap.clamps.margin, 1);
  EXPECT_EQ(gap.verdict, ClosingVerdict::hold);
  EXPECT_EQ(gap.causes.front().cause, GapCause::weak_clamps);
}

TEST(PartingGap, FewerThanThreeReadingsAreAnsweredWithWhatCannotBeTold) {
  CoreBox open = box();
  open.gap_readings = {{Vector2d(60, 40), 0.3, {}}, {Vector2d(-60, 40), 0.1, {}}};
  const CavityFootprint footprint = cavity_footprint(block(), open.parting);
  const PartingGap gap = parting_gap(open, &footprint);
  EXPECT_EQ(gap.growth->max_mm, 0.3);
  EXPECT_FALSE(gap.added);
  EXPECT_THAT(gap.notes, Contains(HasSubstr("fewer than three")));
  CoreBox unread = box();
  EXPECT_EQ(parting_gap(unread, &footprint).verdict, ClosingVerdict::cannot_tell);
}

TEST(PartingGap, AReadingThatClampsOpenIsDoubted) {
  CoreBox open = box();
  read(open, 0.1, 0.1);
  open.gap_readings[1].unclamped_mm = 0.05;
  EXPECT_THAT(parting_gap(open, nullptr).notes, Contains(HasSubstr("Feeler reading 2 is larger clamped")));
}

TEST(PartingGap, ReadingsInOneLineDoNotTellTheTiltAcrossIt) {
  CoreBox open = box();
  open.gap_readings = {{Vector2d(-60, 0), 0.1, {}}, {Vector2d(0, 0), 0.1, {}}, {Vector2d(60, 0), 0.1, {}}};
  const PartingGap gap = parting_gap(open, nullptr);
  EXPECT_THAT(gap.notes, Contains(HasSubstr("in one line")));
}

TEST(PartingGap, AReadingOutsideTheFaceIsRefusedNamingIt) {
  CoreBox open = box();
  read(open, 0.1, 0.1);
  refuse_readings_off_the_face(open, nullptr, "box.toml");
  open.gap_readings[2].at_parting_mm = Vector2d(900, 0);
  try {
    refuse_readings_off_the_face(open, nullptr, "box.toml");
    FAIL();
  } catch (const InputError& error) {
    EXPECT_EQ(error.place(), "gap_reading[3].at_mm");
  }
}

TEST(GapField, TellsWarpFromNoise) {
  std::vector<FeelerReading> bowed, flat;
  for (const auto& [x, y] :
       {std::pair{-80, -60}, {0, -60}, {80, -60}, {-80, 0}, {80, 0}, {-80, 60}, {0, 60}, {80, 60}}) {
    bowed.push_back({Vector2d(x, y), 0.05 + 0.3 * x * x / 6400.0});
    flat.push_back({Vector2d(x, y), 0.10 + ((x + y) % 40 == 0 ? 0.02 : -0.02)});
  }
  const GapField bent(bowed), plain(flat);
  EXPECT_TRUE(bent.warped());
  EXPECT_NEAR(bent.opening_mm({0, 0}), 0.05, 1e-9);
  EXPECT_FALSE(plain.warped());
}

// The stated 95 % interval covers the true opening 95 times in 100 when readings scatter as leaves do.
TEST(GapField, CoversTheTruthAsOftenAsItSays) {
  std::uint64_t state = 7;
  const auto uniform = [&] {
    state = state * 6364136223846793005U + 1442695040888963407U;
    return static_cast<double>(state >> 11) / 9007199254740992.0;
  };
  int covered = 0;
  constexpr int trials = 2000;
  for (int trial = 0; trial < trials; ++trial) {
    std::vector<FeelerReading> readings;
    for (int k = 0; k < 10; ++k) {
      const Vector2d at(100 * std::cos(0.63 * k), 70 * std::sin(0.63 * k));
      const double open = 0.3 + 0.0008 * at.x() - 0.0005 * at.y() + 0.05 * (uniform() - 0.5);
      readings.push_back({at, open});
    }
    const GapField field(readings);
    const Vector2d asked(60, -30);
    if (std::abs(field.opening_mm(asked) - (0.3 + 0.0008 * 60 + 0.0005 * 30)) <= field.u95_mm(asked))
      ++covered;
  }
  // Variance is never taken below a leaf's own, so a little above 95 %; binomial scatter 0.5 %.
  EXPECT_GT(covered, 0.94 * trials);
  EXPECT_LT(covered, 0.99 * trials);
}

RC_GTEST_PROP(Clamping, LoadsBalanceTheOpeningForceAndItsMoments, ()) {
  std::vector<Clamp> clamps;
  const int count = *rc::gen::inRange(3, 7);
  for (int i = 0; i < count; ++i)
    clamps.push_back(
        {"C",
         {100 * std::cos(i * 6.28 / count) + *rc::gen::inRange(-30, 30), 80 * std::sin(i * 6.28 / count)},
         Clamp::Kind::toggle,
         "",
         "",
         0,
         1000});
  const Vector2d centroid(*rc::gen::inRange(-40, 40), *rc::gen::inRange(-40, 40));
  const Clamping clamping = boxfettle::clamping(clamps, 3e5, 6000, centroid);
  RC_ASSERT(clamping.load_shared);
  double force = 0;
  Vector2d moment = Vector2d::Zero();
  for (const ClampForce& clamp : clamping.clamps) {
    force += clamp.load_N;
    moment += clamp.load_N * clamp.at_parting_mm;
  }
  RC_ASSERT(std::abs(force - 1800) < 1e-6);
  RC_ASSERT((moment - 1800 * centroid).norm() < 1e-3);
}

TEST(Clamping, ClampsInOneLineDoNotTellHowTheyShare) {
  CoreBox open = box();
  for (Clamp& clamp : open.clamps) clamp.at_parting_mm.y() = 0;
  const Clamping clamping = boxfettle::clamping(open.clamps, 3e5, 6000, {0, 0});
  EXPECT_FALSE(clamping.load_shared);
  EXPECT_GT(clamping.margin, 1);
}

TEST(CoreWeight, AndOpeningTurnIntoEachOther) {
  const double grams = weight_of_opening_g(0.25, 6000, 1.55);
  EXPECT_NEAR(opening_of_weight_mm(grams, 6000, 1.55), 0.25, 1e-12);
}

TEST(CoreWeight, ThatTheFeelersDoNotExplainPointsAtWearOrDenserSand) {
  const std::vector<double> weights{1010, 1011, 1009.5, 1010.2, 1010.4};
  const WeightWitness witness = weight_witness(weights, 1000, 6000, 1.55);
  EXPECT_GT(witness.opening_mm, 1);
  const WitnessesCompared compared = compare_witnesses({0.1, 0.02}, witness);
  EXPECT_FALSE(compared.agree);
  EXPECT_THAT(compared.suggestion, HasSubstr("worn"));
  EXPECT_THAT(compare_witnesses({2.0, 0.02}, witness).suggestion, HasSubstr("dirt"));
  EXPECT_TRUE(compare_witnesses({witness.opening_mm + 0.01, 0.02}, witness).agree);
}

}  // namespace
}  // namespace boxfettle
