// Whole studies of a small invented box: an L of sand with an arm that is hard to reach.
#include <gmock/gmock.h>

#include "demo/plain_solids.hpp"
#include "input/input_error.hpp"
#include "venting/blow_study.hpp"
#include "venting/venting_study.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;

struct Elbow {
  TriangleMesh design = demo::block({100, 30, 30});
  CoreBox box;
  VentingSettings settings;

  Elbow() {
    demo::add(design, demo::block({30, 80, 30}, {70, 29, 0}));
    box.id = "L-1";
    box.parting = PartingFace::through({0, 0, 15}, {0, 0, 1});
    box.blow_inlets = {{"B1", {15, 15, 30}, 14}};
    box.vents = {{"V1", {60, 15, 30}, 8}, {"V2", {85, 109, 15}, 8}, {"V3", {100, 15, 15}, 8}};
    settings.voxel_mm = 2.5;
  }
  const VentStanding& vent(const VentingStudy& study, const char* id) const {
    return *std::find_if(study.vents.begin(), study.vents.end(),
                         [&](const VentStanding& v) { return v.id == id; });
  }
};

TEST(VentingStudy, TheVentAtTheFarEndMattersMostToTheWorstPlace) {
  const Elbow elbow;
  const VentingStudy study = study_venting(elbow.design, elbow.box, elbow.settings);
  EXPECT_GT(elbow.vent(study, "V2").sensitivity, elbow.vent(study, "V1").sensitivity);
  EXPECT_GT(elbow.vent(study, "V2").sensitivity, 0.05);
  EXPECT_LT(elbow.vent(study, "V2").plug_limit, 1);
  EXPECT_GT(elbow.vent(study, "V2").plug_limit, 0.1);
  EXPECT_LE(study.balance_error, 1e-8);
  double shares = study.leak_share;
  for (const VentStanding& vent : study.vents) shares += vent.share;
  EXPECT_NEAR(shares, 1, 1e-6);
  EXPECT_TRUE(study.cleaning_by_practice);
  EXPECT_EQ(study.vents[0].clean_every_min, 60);
}

TEST(VentingStudy, PluggedPastItsLimitItHoldsTheBox) {
  Elbow elbow;
  const double limit = elbow.vent(study_venting(elbow.design, elbow.box, elbow.settings), "V2").plug_limit;
  elbow.box.vents[1].plugged = std::min(limit + 0.5 * (1 - limit), 0.97);
  const VentingStudy worse = study_venting(elbow.design, elbow.box, elbow.settings);
  EXPECT_GT(worse.worst_age_s, worse.limit_s);
  EXPECT_EQ(worse.verdict, VentingVerdict::hold);
  elbow.box.vents[1].plugged = 0.5 * limit;
  const VentingStudy better = study_venting(elbow.design, elbow.box, elbow.settings);
  EXPECT_LT(better.worst_age_s, better.limit_s);
}

TEST(VentingStudy, TheCleaningIntervalFollowsThePluggingRate) {
  Elbow elbow;
  elbow.settings.plugged_per_hour = 0.2;
  const VentingStudy study = study_venting(elbow.design, elbow.box, elbow.settings);
  EXPECT_NEAR(elbow.vent(study, "V2").clean_every_min, 60 * elbow.vent(study, "V2").plug_limit / 0.2, 1e-9);
  EXPECT_FALSE(study.cleaning_by_practice);
}

TEST(VentingStudy, AFinerGridTellsTheSameStory) {
  Elbow elbow;
  const VentingStudy coarse = study_venting(elbow.design, elbow.box, elbow.settings);
  elbow.settings.voxel_mm = 1.25;
  const VentingStudy fine = study_venting(elbow.design, elbow.box, elbow.settings);
  EXPECT_NEAR(fine.mass_flow_kg_s / coarse.mass_flow_kg_s, 1, 0.05);
  EXPECT_NEAR(fine.worst_age_s / coarse.worst_age_s, 1, 0.15);
}

TEST(VentingStudy, AnOpenPartingFaceLeaksGas) {
  Elbow elbow;
  elbow.settings.opening_mm = [](const Eigen::Vector2d&) { return 0.15; };
  const VentingStudy study = study_venting(elbow.design, elbow.box, elbow.settings);
  EXPECT_GT(study.leak_share, 0.02);
  EXPECT_LT(study.leak_share, 0.95);
  EXPECT_LE(study.balance_error, 1e-8);
}

TEST(VentingStudy, AVentOffTheWallIsNamed) {
  Elbow elbow;
  elbow.box.vents[1].at_design_mm.y() += 6;
  try {
    study_venting(elbow.design, elbow.box, elbow.settings);
    FAIL();
  } catch (const InputError& error) {
    EXPECT_THAT(error.what(), HasSubstr("vent V2: stands 6.00 mm off"));
  }
  elbow.box.vents[1].at_design_mm.y() -= 5;
  EXPECT_THAT(study_venting(elbow.design, elbow.box, elbow.settings).notes,
              testing::Contains(HasSubstr("moved 1.00 mm to the wall")));
}

TEST(VentingStudy, AnOpenDesignAndAVoxelTooSmallAreRefused) {
  Elbow elbow;
  elbow.settings.voxel_mm = 0.01;
  try {
    study_venting(elbow.design, elbow.box, elbow.settings);
    FAIL();
  } catch (const InputError& error) {
    EXPECT_THAT(error.what(), HasSubstr("mm fits"));
  }
  elbow.settings.voxel_mm = 2.5;
  elbow.design.triangles.pop_back();
  EXPECT_THROW(study_venting(elbow.design, elbow.box, elbow.settings), InputError);
}

// A dead end at p0 that is put under p1: its own air shrinks to p0 / p1 of the room (Boyle).
TEST(VentingStudy, PressureSweepsADeadEndByBoylesLaw) {
  EXPECT_NEAR(swept_share_of_dead_end(1e5, 2.5e5), 0.6, 1e-12);
  EXPECT_EQ(swept_share_of_dead_end(1e5, 1e5), 0);
}

TEST(BlowStudy, ThePressureThatMakesUpForPluggedVentsDoesSo) {
  Elbow elbow;
  for (Vent& vent : elbow.box.vents) vent.plugged = 0.6;
  elbow.box.air.magazine_litre = 2;
  const BlowStudy study = study_blowing(elbow.design, elbow.box, {});
  ASSERT_TRUE(study.restoring_blow_bar);
  EXPECT_GT(*study.restoring_blow_bar, elbow.box.air.blow_bar);
  elbow.box.air.blow_bar = *study.restoring_blow_bar;
  const BlowStudy again = study_blowing(elbow.design, elbow.box, {});
  EXPECT_NEAR(again.found.fill_time_s / study.designed.fill_time_s, 1, 1e-3);
  ASSERT_TRUE(study.restoring_vent_factor);
  EXPECT_NEAR(*study.restoring_vent_factor, 2.5, 1e-3);  // 1 / (1 - 0.6): the design's own area
}

}  // namespace
}  // namespace boxfettle
