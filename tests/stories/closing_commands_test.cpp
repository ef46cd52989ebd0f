// dowels, fit and gap as a tooling engineer types them.
#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "corebox/box_file.hpp"
#include "demo/invented_cores.hpp"
#include "program_run.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing::HasSubstr;
using testing::StartsWith;

class ClosingCommands : public testing::Test {
 protected:
  ClosingCommands()
      : folder_(fs::temp_directory_path() / ("boxfettle_closing_" + std::to_string(::getpid()))) {
    fs::create_directories(folder_);
    const demo::InventedCore& volute = demo::coarse(demo::Core::volute);
    box_ = volute.box;
    box_.design_file = "volute.stl";
    write_design(volute.design);
  }
  ~ClosingCommands() override { fs::remove_all(folder_); }

  void write_design(const TriangleMesh& mesh) {
    std::ofstream out(folder_ / "volute.stl");
    out << "solid volute\n";
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
      out << "facet normal 0 0 0\nouter loop\n";
      for (int k = 0; k < 3; ++k) out << "vertex " << mesh.corner(t, k).transpose() << "\n";
      out << "endloop\nendfacet\n";
    }
    out << "endsolid volute\n";
  }
  fs::path box_file() const {
    std::ofstream(folder_ / "box.toml") << write_box_file(box_);
    return folder_ / "box.toml";
  }
  Ran run(std::vector<std::string> words) const {
    words.insert(words.begin(), BOXFETTLE_PROGRAM);
    return run_program(words, folder_);
  }

  fs::path folder_;
  CoreBox box_;
};

TEST_F(ClosingCommands, DowelsTellTheWorstShiftAndGateAWornBox) {
  box_.limits.mismatch_mm = 0.3;
  for (Dowel& dowel : box_.dowels) dowel.bush_mm += 0.9;
  if (box_.dowels[1].slot_length_mm) *box_.dowels[1].slot_length_mm += 2;
  const Ran worn = run({"dowels", box_file().string(), "--json", "--gate"});
  ASSERT_EQ(worn.exit_code, 4) << worn.err;
  const json told = json::parse(worn.out);
  EXPECT_EQ(told.at("verdict"), "hold");
  EXPECT_TRUE(told.at("assembles"));
  EXPECT_GT(told.at("worst_mismatch_mm"), 0.3);
  EXPECT_EQ(told.at("limit_mm"), 0.3);
  EXPECT_EQ(told.at("points").size(), box_.watch_points.size());
  EXPECT_EQ(told.at("play").at("tx_mm").size(), 2U);
  EXPECT_LT(told.at("likely_mm").at("p50"), told.at("likely_mm").at("p99"));
  EXPECT_FALSE(told.at("advice").empty());
  EXPECT_EQ(told.at("inputs").size(), 2U);
  const Ran text = run({"dowels", box_file().string()});
  EXPECT_EQ(text.exit_code, 0);
  EXPECT_THAT(text.out, StartsWith("Verdict: HOLD"));
  EXPECT_THAT(text.out, HasSubstr("Renew "));
}

TEST_F(ClosingCommands, GapTellsGrowthWeightLeakAndClamps) {
  const Ran ran = run({"gap", box_file().string(), "--json"});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  const json told = json::parse(ran.out);
  for (const char* key :
       {"growth_mm", "plane", "added_volume_cm3", "added_weight_g", "added_weight_percent", "leak_area_mm2",
        "leak_share_of_vents", "sand_can_escape", "closes_under_clamp", "cause", "u95_mm", "clamp_force_N",
        "opening_force_N", "clamp_margin", "verdict", "notes", "inputs", "boxfettle"})
    EXPECT_TRUE(told.contains(key)) << key;
  EXPECT_NEAR(told.at("clamp_margin"),
              told.at("clamp_force_N").get<double>() / told.at("opening_force_N").get<double>(), 1e-9);
  double loads = 0;
  for (const json& clamp : told.at("clamps")) loads += clamp.at("load_N").get<double>();
  EXPECT_NEAR(loads, told.at("opening_force_N"), 1e-3);
}

TEST_F(ClosingCommands, GapSetsWeighedCoresBesideTheFeelers) {
  const json alone = json::parse(run({"gap", box_file().string(), "--json"}).out);
  const double right = alone.at("core_weight_g"), added = alone.at("added_weight_g");
  std::ofstream weights(folder_ / "weights.csv");
  weights << "weight_g\n";
  for (const double scatter : {-0.4, 0.3, 0.1, -0.2, 0.2}) weights << right + added + scatter << "\n";
  weights.close();
  const Ran ran =
      run({"gap", box_file().string(), "--weights", (folder_ / "weights.csv").string(), "--json"});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  const json told = json::parse(ran.out).at("weights");
  EXPECT_EQ(told.at("agrees_with_feelers"), true);
  EXPECT_NEAR(told.at("equivalent_gap_mm"), alone.at("growth_mm").at("mean"), 0.01);
}

TEST_F(ClosingCommands, FitPrintsTheLimitsOfASlidingFit) {
  const Ran ran = run({"fit", "40", "H7/g6", "--json"});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  const json told = json::parse(ran.out);
  EXPECT_EQ(told.at("hole"), json({{"lower_um", 0.0}, {"upper_um", 25.0}}));
  EXPECT_EQ(told.at("shaft"), json({{"lower_um", -25.0}, {"upper_um", -9.0}}));
  EXPECT_EQ(told.at("clearance_um"), json({9.0, 50.0}));
  EXPECT_EQ(told.at("kind"), "clearance");
}

TEST_F(ClosingCommands, BadInputLeavesWithThreeAndNamesTheField) {
  std::string text = content(box_file());
  text.replace(text.find("pin_mm"), 6, "pin");  // its unit left off
  std::ofstream(folder_ / "no-unit.toml") << text;
  const Ran unit = run({"dowels", (folder_ / "no-unit.toml").string()});
  EXPECT_EQ(unit.exit_code, 3);
  EXPECT_THAT(unit.err, HasSubstr("dowel[1].pin: unknown key; did you mean 'pin_mm'?"));
  box_.dowels[1].at_parting_mm = box_.dowels[0].at_parting_mm;
  const Ran spot = run({"dowels", box_file().string()});
  EXPECT_EQ(spot.exit_code, 3);
  EXPECT_THAT(spot.err, HasSubstr("dowel[2].at_mm"));
  EXPECT_EQ(spot.out, "");
  box_.dowels.clear();
  EXPECT_THAT(run({"dowels", box_file().string()}).err, HasSubstr("dowel: the box has none"));
  box_.gap_readings[1].at_parting_mm = Eigen::Vector2d(5000, 0);
  const Ran outside = run({"gap", box_file().string()});
  EXPECT_EQ(outside.exit_code, 3);
  EXPECT_THAT(outside.err, HasSubstr("gap_reading[2].at_mm"));
  EXPECT_EQ(run({"fit", "600", "H7/g6"}).exit_code, 3);
  EXPECT_EQ(run({"fit", "40", "H7g6"}).exit_code, 3);
  EXPECT_EQ(run({"fit", "forty", "H7/g6"}).exit_code, 2);
}

TEST_F(ClosingCommands, AScanOfABoxWithACastingGradeIsJudgedByItsTable) {
  box_.limits.casting_grade = "DCTG 6";
  const Ran ran =
      run({"scan", "--box", box_file().string(), "--scan", (folder_ / "volute.stl").string(), "--json"});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  EXPECT_THAT(ran.out, HasSubstr("ISO 8062-3:2007, table 2"));
}

}  // namespace
}  // namespace boxfettle
