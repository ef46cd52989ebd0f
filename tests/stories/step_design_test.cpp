// A shop whose designs are STEP files: the same readings as from STL, and refusals a person can act on.
#include <gmock/gmock.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "corebox/box_file.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/surface_file.hpp"
#include "input/child_program.hpp"
#include "input/whole_file.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;

struct Ran {
  int exit_code;
  std::string text;
};

Ran ran(const ChildEnd& end) {
  return {end.how == ChildEnd::How::left ? end.code : -1,
          {reinterpret_cast<const char*>(end.written.data()), end.written.size()}};
}

Ran standard_output(const std::vector<std::string>& words) {
  return ran(run_child_program(BOXFETTLE_PROGRAM, words, {}));
}

// With standard output counted as a fault: a refusal prints nothing there.
Ran standard_error(std::vector<std::string> words) {
  words.insert(words.begin(), {"-c", "exec \"$0\" \"$@\" 2>&1", BOXFETTLE_PROGRAM});
  return ran(run_child_program("/bin/sh", words, {}));
}

const fs::path kept = fs::path(BOXFETTLE_SOURCE_DIR) / "fuzz/corpus/step";

// A bracket with a print, a boss and a bore, in a box that parts at half its height.
class AStepShop : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder = fs::temp_directory_path() / ("boxfettle_step_shop_" + std::to_string(::getpid()));
    fs::create_directories(folder);
    fs::copy_file(kept / "bracket.step", folder / "bracket.stp");
    StepReading finer;
    finer.mesher = fs::path(BOXFETTLE_PROGRAM).parent_path() / "boxfettle-step-mesh";
    finer.deflection_mm = 0.005;
    const SurfaceFile file = read_surface_file(folder / "bracket.stp", finer);
    const auto& bracket = std::get<TriangleMesh>(file.surface);
    write_binary_stl(bracket, folder / "bracket.stl");

    CoreBox box;
    box.id = "TM-0990";
    box.name = "Bracket core";
    box.parting = PartingFace::through({0, 0, 15}, {0, 0, 1});
    box.design_file = "bracket.stl";
    std::ofstream(folder / "stl.toml") << write_box_file(box);
    box.design_file = "bracket.stp";
    box.design_unit = LengthUnit::inch;  // wrong, and of no effect: the file knows better
    std::ofstream(folder / "step.toml") << write_box_file(box);

    demo::Scanner scanner;
    scanner.points = 60000;
    demo::BoxFaults shifted;
    shifted.mismatch_mm = {0.6, 0};
    write_binary_ply(demo::scan_core(bracket, box.parting, shifted, scanner).points, folder / "scan.ply");
  }
  static void TearDownTestSuite() { fs::remove_all(folder); }

  static std::string path(const std::string& name) { return (folder / name).string(); }

  static json read(const std::string& box) {
    const Ran told = standard_output({"scan", "--box", path(box), "--scan", path("scan.ply"), "--json"});
    EXPECT_EQ(told.exit_code, 0);
    return json::parse(told.text);
  }

  static std::string refusal(const std::vector<std::string>& words) {
    const Ran told = standard_error(words);
    EXPECT_EQ(told.exit_code, 3) << told.text;
    EXPECT_EQ(std::count(told.text.begin(), told.text.end(), '\n'), 1) << told.text;
    return told.text;
  }
  static std::string refused_design(const std::string& design) {
    return refusal({"scan", "--design", design, "--scan", path("scan.ply")});
  }

  inline static fs::path folder;
};

TEST_F(AStepShop, AScanReadsTheSameAgainstTheStepDesignAsAgainstItsStl) {
  const json step = read("step.toml"), stl = read("stl.toml");
  EXPECT_EQ(step["verdict"], stl["verdict"]);
  EXPECT_EQ(step["findings"].size(), stl["findings"].size());
  ASSERT_TRUE(step["halves"]["told"].get<bool>()) << step["notes"];
  // The two surfaces differ by the deflections, 0.015 and 0.005 mm, on the round faces only.
  EXPECT_NEAR(step["halves"]["mismatch_mm"][0], stl["halves"]["mismatch_mm"][0], 0.01);
  EXPECT_NEAR(step["halves"]["gap_mm"], stl["halves"]["gap_mm"], 0.01);
  EXPECT_NEAR(step["deviation"]["p95_mm"], stl["deviation"]["p95_mm"], 0.01);
  EXPECT_NEAR(step["halves"]["mismatch_mm"][0], 0.6, 0.05);
}

TEST_F(AStepShop, TheNotesSayHowFineTheDesignWasMeshedAndWhichUnitCounted) {
  const json notes = read("step.toml")["notes"];
  EXPECT_THAT(notes.get<std::vector<std::string>>(),
              AllOf(Contains(HasSubstr("STEP was meshed to within 0.015 mm (")),
                    Contains(HasSubstr("design_unit (inch) was not used"))));
}

TEST_F(AStepShop, AStepFileIsTakenAsAScanToo) {
  const Ran told =
      standard_output({"scan", "--design", path("bracket.stl"), "--scan", path("bracket.stp"), "--json"});
  ASSERT_EQ(told.exit_code, 0);
  const json reading = json::parse(told.text);
  EXPECT_EQ(reading["scan_unit"], "mm");
  EXPECT_LT(reading["deviation"]["p95_mm"].get<double>(), 0.02);
}

TEST_F(AStepShop, TheLibraryThatReadsStepIsNoPartOfTheProgramItself) {
  const fs::path program = BOXFETTLE_PROGRAM;
  const std::string library = "libTKernel";  // among the names of what a program loads
  EXPECT_EQ(WholeFile(program).text().find(library), std::string_view::npos);
  EXPECT_NE(WholeFile(program.parent_path() / "boxfettle-step-mesh").text().find(library),
            std::string_view::npos);
}

TEST_F(AStepShop, TheBodyIsChosenByItsNumber) {
  const std::string two = (kept / "two_bodies.step").string();
  EXPECT_THAT(refused_design(two), AllOf(HasSubstr("holds 2 bodies: 1 "), HasSubstr("--design-body N")));
  EXPECT_THAT(refusal({"scan", "--design", two, "--design-body", "9", "--scan", path("scan.ply")}),
              HasSubstr("has no body 9, only 2"));
  EXPECT_THAT(
      refusal({"scan", "--design", path("bracket.stl"), "--design-body", "1", "--scan", path("scan.ply")}),
      HasSubstr("holds no bodies to choose from"));
  EXPECT_EQ(
      standard_error({"scan", "--design", two, "--design-body", "1.5", "--scan", path("scan.ply")}).exit_code,
      2);
}

TEST_F(AStepShop, DamagedStepFilesAreRefusedInOneLineWithPlaceAndMend) {
  const std::string text(WholeFile(kept / "bracket.step").text());
  const auto damaged = [&](const std::string& content) {
    std::ofstream(folder / "damaged.step", std::ios::binary) << content;
    return refused_design(path("damaged.step"));
  };
  EXPECT_THAT(damaged(""), HasSubstr("empty"));
  EXPECT_THAT(damaged(text.substr(0, 20000)),
              AllOf(HasSubstr("damaged.step: line "), HasSubstr("cut short; ")));
  EXPECT_THAT(damaged("ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n"),
              HasSubstr("DATA: "));
  EXPECT_THAT(damaged("ISO-10303-21;\nDATA;\n\x01\x02 sand\nEND-ISO-10303-21;\n"), HasSubstr("DATA: "));
  EXPECT_THAT(refused_design((kept / "loose_faces_left_open.step").string()), HasSubstr("do not close"));
}

}  // namespace
}  // namespace boxfettle
