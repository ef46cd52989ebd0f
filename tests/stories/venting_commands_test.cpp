// blow and vents as a tooling engineer types them.
#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "corebox/box_file.hpp"
#include "demo/invented_cores.hpp"
#include "geometry/surface_file.hpp"
#include "program_run.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing::HasSubstr;

class VentingCommands : public testing::Test {
 protected:
  VentingCommands()
      : folder_(fs::temp_directory_path() / ("boxfettle_venting_" + std::to_string(::getpid()))) {
    fs::create_directories(folder_);
    const demo::InventedCore& valve = demo::coarse(demo::Core::valve_body);
    box_ = valve.box;
    box_.design_file = "valve.stl";
    write_binary_stl(valve.design, folder_ / "valve.stl");
  }
  ~VentingCommands() override { fs::remove_all(folder_); }

  Ran run(std::vector<std::string> words) const {
    std::ofstream(folder_ / "box.toml") << write_box_file(box_);
    words.insert(words.begin() + 1, (folder_ / "box.toml").string());
    words.insert(words.begin(), BOXFETTLE_PROGRAM);
    return run_program(words, folder_);
  }

  fs::path folder_;
  CoreBox box_;
};

TEST_F(VentingCommands, VentsKeepsItsContract) {
  box_.vents[0].plugged = 0.4;
  const Ran ran = run({"vents", "--voxel-mm", "3", "--json"});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  const json answer = json::parse(ran.out);
  for (const char* key :
       {"boxfettle", "inputs", "notes", "mass_flow_kg_s", "vents", "residence_s", "unpurged_fraction",
        "pockets", "balance_error", "voxels", "permeability_m2", "verdict", "cautions", "what_it_is"})
    EXPECT_TRUE(answer.contains(key)) << key;
  double shares = answer["parting_gap"]["share"];
  for (const json& vent : answer["vents"]) {
    for (const char* key : {"id", "mass_flow_kg_s", "share", "sensitivity", "plug_limit", "clean_every_min"})
      EXPECT_TRUE(vent.contains(key)) << key;
    shares += vent["share"].get<double>();
  }
  EXPECT_NEAR(shares, 1, 1e-6);
  EXPECT_LE(answer["balance_error"].get<double>(), 1e-8);
  EXPECT_LE(answer["residence_s"]["p50"].get<double>(), answer["residence_s"]["p95"].get<double>());
  EXPECT_THAT(answer["what_it_is"].get<std::string>(), HasSubstr("not: a simulation"));
  EXPECT_THAT(answer["cautions"].dump(), HasSubstr("121-44-8"));
}

TEST_F(VentingCommands, BlowTellsWhatPluggedVentsCost) {
  const json clean = json::parse(run({"blow", "--json"}).out);
  for (const char* key :
       {"fill_time_s", "peak_cavity_bar", "choked", "paths", "vent_to_blow_area_ratio", "verdict", "inputs"})
    EXPECT_TRUE(clean.contains(key)) << key;
  for (Vent& vent : box_.vents) vent.plugged = 0.9;
  box_.gap_readings.clear();
  const Ran ran = run({"blow", "--json", "--gate"});
  const json plugged = json::parse(ran.out);
  EXPECT_GT(plugged["fill_time_s"].get<double>(), clean["fill_time_s"].get<double>());
  EXPECT_GT(plugged["peak_cavity_bar"].get<double>(), clean["peak_cavity_bar"].get<double>());
  EXPECT_EQ(plugged["verdict"], "hold");
  EXPECT_EQ(ran.exit_code, 4);
  // What the vents cost is told beside the whole; nothing else is wrong with this box.
  EXPECT_NEAR(plugged["with_clean_vents"]["fill_time_s"].get<double>() /
                  plugged["as_designed"]["fill_time_s"].get<double>(),
              1, 1e-6);
  EXPECT_FALSE(plugged.contains("with_shut_halves"));
  EXPECT_NEAR(plugged["restores_design"]["vent_area_factor"].get<double>(), 10, 0.01) << "a tenth is open";
  EXPECT_GT(plugged["restores_design"]["blow_bar"].get<double>(), box_.air.blow_bar);
  EXPECT_EQ(plugged["step_tolerance"], 1e-7);
  const Ran words = run({"blow"});
  EXPECT_THAT(words.out, HasSubstr("What this is"));
  EXPECT_THAT(words.out, HasSubstr("eye protection"));
}

TEST_F(VentingCommands, TheBoxFilesOwnLinesJudgeUnlessAnOptionSaysOtherwise) {
  for (Vent& vent : box_.vents) vent.plugged = 0.5;
  const auto blown = [&](const std::vector<std::string>& options) {
    std::vector<std::string> words{"blow", "--json"};
    words.insert(words.end(), options.begin(), options.end());
    return json::parse(run(words).out);
  };
  const json ours = blown({});
  EXPECT_THAT(ours["lines"]["hold_fill_slower"]["origin"].get<std::string>(), HasSubstr("Boxfettle's own"));
  const double slower = ours["fill_time_s"].get<double>() / ours["as_designed"]["fill_time_s"].get<double>();
  ASSERT_GT(slower, 1);
  box_.air.lines.hold_fill_slower = 50 * (slower - 1);  // half of what it is
  const json filed = blown({});
  EXPECT_EQ(filed["verdict"], "hold");
  EXPECT_EQ(filed["lines"]["hold_fill_slower"]["origin"], "the box file's own");
  const json asked = blown({"--hold-slower", "1000", "--watch-slower", "900", "--leak-at-most", "100"});
  EXPECT_EQ(asked["verdict"], "fit");
  EXPECT_EQ(asked["lines"]["hold_fill_slower"]["origin"], "set by --hold-slower");

  box_.air.lines.reached_last = 20;
  const json vents = json::parse(run({"vents", "--voxel-mm", "4", "--json", "--unpurged-at-most", "3"}).out);
  EXPECT_EQ(vents["reached_last"]["share"], 0.2);
  EXPECT_EQ(vents["lines"]["reached_last_share"]["origin"], "the box file's own");
  EXPECT_EQ(vents["lines"]["unpurged_at_most"]["origin"], "set by --unpurged-at-most");
}

TEST_F(VentingCommands, WhatCannotBeStudiedIsRefusedByName) {
  const auto refused = [&](const std::vector<std::string>& words, const char* because) {
    const Ran ran = run(words);
    EXPECT_EQ(ran.exit_code, 3) << because;
    EXPECT_THAT(ran.err, HasSubstr(because));
    EXPECT_EQ(ran.out, "");
  };
  refused({"vents", "--voxel-mm", "0.02"}, "mm fits");
  const CoreBox whole = box_;
  box_.vents[1].at_design_mm.z() += 30;
  refused({"vents", "--voxel-mm", "4"}, "vent V2");
  box_ = whole;
  box_.blow_inlets.clear();
  refused({"vents", "--voxel-mm", "4"}, "no blow inlet");
  box_ = whole;
  box_.vents.clear();
  box_.gap_readings.clear();
  refused({"blow"}, "no vent");
  box_ = whole;
  TriangleMesh open = demo::coarse(demo::Core::valve_body).design;
  open.triangles.pop_back();
  write_binary_stl(open, folder_ / "valve.stl");
  refused({"vents", "--voxel-mm", "4"}, "valve.stl");
}

}  // namespace
}  // namespace boxfettle
