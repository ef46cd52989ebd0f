// The program as a person or a script meets it: what it prints where, and the code it leaves with.
#include <fcntl.h>
#include <gmock/gmock.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "corebox/box_file.hpp"
#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/surface_file.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::StartsWith;

struct Ran {
  int exit_code;
  std::string out, err;
};

std::string content(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

void redirect(int descriptor, const fs::path& path) {
  ::dup2(::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600), descriptor);
}

// No shell in between: the words arrive as they are.
Ran run(const std::vector<std::string>& words, const fs::path& out) {
  const fs::path err = fs::temp_directory_path() / ("boxfettle_err_" + std::to_string(::getpid()));
  const pid_t child = ::fork();
  if (child == 0) {
    redirect(STDOUT_FILENO, out);
    redirect(STDERR_FILENO, err);
    std::vector<char*> arguments{const_cast<char*>(BOXFETTLE_PROGRAM)};
    for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
    arguments.push_back(nullptr);
    ::execv(BOXFETTLE_PROGRAM, arguments.data());
    ::_exit(127);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  Ran ran{WIFEXITED(status) ? WEXITSTATUS(status) : -1, fs::is_regular_file(out) ? content(out) : "",
          content(err)};
  fs::remove(err);
  return ran;
}

// A small shop: one invented core, its box file, and a scan of a core made with the upper half shifted.
class AShop : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder = fs::temp_directory_path() / ("boxfettle_shop_" + std::to_string(::getpid()));
    fs::create_directories(folder / "boxes");
    demo::InventedCore core = demo::pump_volute(4.0);
    core.box.design_file = "core.stl";
    write_binary_stl(core.design, folder / "boxes" / "core.stl");
    std::ofstream(folder / "boxes" / "box.toml") << write_box_file(core.box);
    demo::Scanner scanner;
    scanner.points = 60000;
    scanner.noise_mm = 0.02;
    write_binary_ply(demo::scan_core(core.design, core.box.parting, {}, scanner).points, folder / "good.ply");
    demo::BoxFaults shifted;
    shifted.mismatch_mm = {1.0, 0};
    write_binary_ply(demo::scan_core(core.design, core.box.parting, shifted, scanner).points,
                     folder / "shifted.ply");
  }
  static void TearDownTestSuite() { fs::remove_all(folder); }

  static std::string path(const std::string& name) { return (folder / name).string(); }
  static Ran boxfettle(const std::vector<std::string>& words) { return run(words, folder / "out"); }

  static void expect_one_line_and_nothing_printed(const Ran& ran, int exit_code) {
    EXPECT_EQ(ran.exit_code, exit_code) << ran.err;
    EXPECT_EQ(ran.out, "");
    EXPECT_THAT(ran.err, StartsWith("boxfettle: "));
    EXPECT_EQ(std::count(ran.err.begin(), ran.err.end(), '\n'), 1) << ran.err;
    EXPECT_TRUE(ran.err.ends_with('\n'));
  }

  inline static fs::path folder;
};

TEST_F(AShop, HelpAndVersionGoToStandardOutput) {
  const Ran help = boxfettle({"--help"});
  EXPECT_EQ(help.exit_code, 0);
  EXPECT_THAT(help.out, HasSubstr("boxfettle scan"));
  EXPECT_EQ(help.err, "");
  EXPECT_THAT(boxfettle({"--version"}).out, StartsWith("boxfettle 0."));
}

TEST_F(AShop, EveryCommandThatHelpListsShowsAWorkedExample) {
  std::istringstream lines(boxfettle({"--help"}).out);
  std::size_t commands = 0;
  for (std::string line; std::getline(lines, line);) {
    if (!line.starts_with("  boxfettle ") || line[12] == '-' || line[12] == 'C') continue;
    const std::string name = line.substr(12, line.find(' ', 12) - 12);
    const Ran help = boxfettle({name, "--help"});
    EXPECT_EQ(help.exit_code, 0) << name;
    EXPECT_THAT(help.out, HasSubstr("Example:\n\n  boxfettle " + name)) << name;
    ++commands;
  }
  EXPECT_GE(commands, 1u);
}

TEST_F(AShop, WrongUseIsOneLineAndCodeTwo) {
  const std::vector<std::vector<std::string>> wrong{
      {},
      {"scann"},
      {"--nothing"},
      {"scan"},
      {"scan", "--design", "a.stl"},
      {"scan", "--scan", "a.ply"},
      {"scan", "--design", "a.stl", "--scan"},
      {"scan", "--design", "a.stl", "--scan", "--json"},
      {"scan", "--design", "a.stl", "--scan", "b.ply", "--scan", "c.ply"},
      {"scan", "--design", "a.stl", "--scan", "b.ply", "c.ply"},
      {"scan", "--design=a.stl", "--scan=b.ply", "--json=yes"},
      {"scan", "--design", "a.stl", "--scan", "b.ply", "--scan-unit", "yard"},
      {"scan", "--design", "a.stl", "--scan", "b.ply", "--of", "half-upper"},
      {"scan", "--box", "a.toml", "--scan", "b.ply", "--of", "both"},
      {"scan", "--box", "a.toml", "--scan", "b.ply", "--of", "half-lower", "--section"},
      {"scan", "--desing", "a.stl", "--scan", "b.ply"}};
  for (const auto& words : wrong) {
    SCOPED_TRACE(testing::PrintToString(words));
    expect_one_line_and_nothing_printed(boxfettle(words), 2);
  }
  EXPECT_THAT(boxfettle(wrong.back()).err, HasSubstr("did you mean '--design'?"));
  EXPECT_THAT(boxfettle({"scann"}).err, HasSubstr("did you mean 'scan'?"));
  EXPECT_THAT(boxfettle(wrong[wrong.size() - 4]).err, HasSubstr("--box FILE is missing"));
}

TEST_F(AShop, BadInputIsOneLineThatNamesTheFileAndCodeThree) {
  const auto refused = [](const std::string& design, const std::string& scan) {
    const Ran ran = boxfettle({"scan", "--json", "--design", design, "--scan", scan});
    expect_one_line_and_nothing_printed(ran, 3);
    return ran.err;
  };
  const std::string design = path("boxes/core.stl");
  EXPECT_THAT(refused(design, path("missing.ply")), HasSubstr("missing.ply: No such file"));
  EXPECT_THAT(refused(path("missing.stl"), path("good.ply")), HasSubstr("missing.stl: No such file"));
  EXPECT_THAT(refused(design, folder.string()), HasSubstr("not a regular file"));
  EXPECT_THAT(refused(path("good.ply"), path("good.ply")),
              HasSubstr("holds points where the design's surface"));
  std::ofstream(folder / "few.xyz") << "1 2 3\n4 5 6\n7 8 9\n";
  EXPECT_THAT(refused(design, path("few.xyz")), HasSubstr("few.xyz: "));
  std::ofstream(folder / "cut.stl", std::ios::binary) << content(design).substr(0, 5000);
  EXPECT_THAT(refused(path("cut.stl"), path("good.ply")), HasSubstr("cut.stl: byte 80: the header counts"));
  std::ofstream(folder / "bad.toml")
      << "[box]\nid = \"A\"\n[parting]\npoint_mm = [0,0,0]\nnormal = [0,0,0]\n";
  const Ran box = boxfettle({"scan", "--box", path("bad.toml"), "--scan", path("good.ply")});
  expect_one_line_and_nothing_printed(box, 3);
  EXPECT_THAT(box.err, HasSubstr("bad.toml: line 5, parting.normal: has no length; "));
  std::ofstream(folder / "two\nlines.xyz") << "not points\n";
  EXPECT_THAT(refused(design, path("two\nlines.xyz")), HasSubstr("two?lines.xyz"));
}

TEST_F(AShop, ASoundScanGivesTheKeysThatStayAndNothingElseOnStandardOutput) {
  const Ran ran =
      boxfettle({"scan", "--box", path("boxes/box.toml"), "--scan", path("good.ply"), "--json", "--gate"});
  EXPECT_EQ(ran.exit_code, 0) << ran.err;
  EXPECT_EQ(ran.err, "");
  const nlohmann::json told = nlohmann::json::parse(ran.out);
  EXPECT_THAT(told.at("boxfettle").get<std::string>(), StartsWith("0."));
  ASSERT_EQ(told.at("inputs").size(), 3u);
  EXPECT_EQ(told["inputs"][0].at("file"), path("boxes/core.stl"));
  EXPECT_EQ(told["inputs"][1].at("size"), fs::file_size(folder / "good.ply"));
  EXPECT_EQ(told["inputs"][1].at("sha256").get<std::string>().size(), 64u);
  EXPECT_EQ(told.at("pose").at("rotation").size(), 9u);
  EXPECT_EQ(told["pose"].at("translation_mm").size(), 3u);
  EXPECT_TRUE(told["pose"].at("ambiguous").is_boolean());
  EXPECT_EQ(told.at("scan_unit"), "mm");
  EXPECT_NEAR(told.at("scan_noise_mm").get<double>(), 0.02,
              0.005);  // the scanner's own 0.02, found from the points
  for (const char* key : {"mean_mm", "sd_mm", "p05_mm", "p50_mm", "p95_mm", "within_limit_fraction",
                          "coverage_fraction", "outlier_fraction"})
    EXPECT_TRUE(told.at("deviation").at(key).is_number()) << key;
  const auto& halves = told.at("halves");
  ASSERT_TRUE(halves.at("told").get<bool>()) << told.at("notes");
  EXPECT_EQ(halves.at("mismatch_mm").size(), 2u);
  EXPECT_EQ(halves.at("tilt_deg").size(), 2u);
  for (const char* key : {"mismatch_worst_mm", "rotation_deg", "gap_mm"})
    EXPECT_TRUE(halves.at(key).is_number()) << key;
  for (const char* key : {"mismatch_mm", "rotation_deg", "gap_mm"})
    EXPECT_TRUE(halves.at("u95").at(key).is_number()) << key;
  EXPECT_TRUE(told.at("findings").is_array());
  EXPECT_TRUE(told.at("notes").is_array());
  EXPECT_EQ(told.at("verdict"), "fit");
}

TEST_F(AShop, AShiftedHalfIsAHoldAndTheGateSaysSoWithCodeFour) {
  const Ran ran =
      boxfettle({"scan", "--box", path("boxes/box.toml"), "--scan", path("shifted.ply"), "--json", "--gate"});
  EXPECT_EQ(ran.exit_code, 4);
  EXPECT_EQ(ran.err, "");
  const nlohmann::json told = nlohmann::json::parse(ran.out);
  EXPECT_EQ(told.at("verdict"), "hold");
  const auto& findings = told.at("findings");
  const auto mismatch = std::find_if(findings.begin(), findings.end(),
                                     [](const auto& finding) { return finding.at("kind") == "mismatch"; });
  ASSERT_NE(mismatch, findings.end()) << told;
  EXPECT_EQ(mismatch->at("severity"), "hold");
}

TEST_F(AShop, WithoutABoxFileNothingIsSaidAboutTheHalves) {
  const Ran ran =
      boxfettle({"scan", "--design", path("boxes/core.stl"), "--scan", path("good.ply"), "--json"});
  EXPECT_EQ(ran.exit_code, 0) << ran.err;
  EXPECT_FALSE(nlohmann::json::parse(ran.out).contains("halves"));
}

TEST_F(AShop, WithoutTheGateAHoldIsCodeZeroAndPeopleGetItInTheFirstLine) {
  const Ran ran = boxfettle({"scan", "--box", path("boxes/box.toml"), "--scan", path("shifted.ply")});
  EXPECT_EQ(ran.exit_code, 0);
  EXPECT_THAT(ran.out, StartsWith("Verdict: HOLD\n"));
  EXPECT_THAT(ran.out, HasSubstr("HOLD  mismatch: "));
  EXPECT_EQ(ran.err, "");
}

TEST_F(AShop, AFullDiskUnderStandardOutputIsCodeFive) {
  const Ran ran = run({"--help"}, "/dev/full");
  EXPECT_EQ(ran.exit_code, 5);
  EXPECT_THAT(ran.err, HasSubstr("standard output could not be written"));
}

}  // namespace
}  // namespace boxfettle
