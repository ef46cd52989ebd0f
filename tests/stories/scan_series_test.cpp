// A box scanned four times over a year, its wear followed by the program.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "corebox/box_file.hpp"
#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/surface_file.hpp"
#include "stories/program_run.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

class AYearOfScans : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder = fs::temp_directory_path() / ("boxfettle_series_" + std::to_string(::getpid()));
    fs::create_directories(folder / "scans");
    demo::InventedCore core = demo::pump_volute(4.0);
    core.box.design_file = "scans/core.stl";  // beside the scans, and no scan
    write_binary_stl(core.design, folder / "scans" / "core.stl");
    std::ofstream(folder / "box.toml") << write_box_file(core.box);
    demo::Scanner scanner;
    scanner.points = 60000;
    scanner.noise_mm = 0.02;
    const std::vector<std::pair<const char*, double>> year{{"b-20260105.ply", 0.05},
                                                           {"a-2026-04-02.ply", 0.10},
                                                           {"c 2026-07-11 second.ply", 0.20},
                                                           {"last.ply", 0.30}};
    for (const auto& [name, depth_mm] : year) {
      demo::BoxFaults faults;
      faults.patches = {{{62, -72, 8}, 14, depth_mm}};
      ++scanner.seed;
      write_binary_ply(demo::scan_core(core.design, core.box.parting, faults, scanner).points,
                       folder / "scans" / name);
    }
  }
  static void TearDownTestSuite() { fs::remove_all(folder); }
  void SetUp() override {
    write("series.csv",
          "\xEF\xBB\xBF"
          "File;Date;Shots\r\nlast.ply;2026-10-30;48000\r\nb-20260105.ply;;8000\r\na-2026-04-02.ply;;\"20000,"
          "0\"\r\n");
  }

  static void write(const std::string& name, const std::string& text) {
    std::ofstream(folder / "scans" / name, std::ios::binary) << text;
  }
  static std::string path(const std::string& name) { return (folder / name).string(); }
  static Ran series(std::vector<std::string> words) {
    words.insert(words.begin(),
                 {BOXFETTLE_PROGRAM, "scan", "--series", path("scans"), "--box", path("box.toml")});
    return run_program(std::move(words), folder);
  }

  inline static fs::path folder;
};

TEST_F(AYearOfScans, ShowsThePlaceThatWearsInEveryScanInOrderOfTime) {
  const Ran ran = series({"--json", "--csv", path("scans/depths.csv")});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  const nlohmann::json told = nlohmann::json::parse(ran.out);
  EXPECT_EQ(told.at("inputs").size(), 7u) << "design, box, series.csv and four scans";
  const auto& scans = told.at("series").at("scans");
  ASSERT_EQ(scans.size(), 4u);
  const std::vector<std::string> dates{"2026-01-05", "2026-04-02", "2026-07-11", "2026-10-30"};
  for (std::size_t i = 0; i < 4; ++i) EXPECT_EQ(scans[i].at("date"), dates[i]);
  EXPECT_EQ(scans[0].at("shots"), 8000);
  EXPECT_FALSE(scans[2].contains("shots")) << "series.csv does not name it";
  const auto& patches = told.at("series").at("patches");
  ASSERT_EQ(patches.size(), 1u);
  EXPECT_EQ(patches[0].at("id"), "P1");
  EXPECT_EQ(patches[0].at("kind"), "wear");
  const std::vector<double> truth{0.05, 0.10, 0.20, 0.30};
  for (std::size_t i = 0; i < 4; ++i) {
    const auto& reading = patches[0].at("readings").at(i);
    ASSERT_TRUE(reading.at("seen").get<bool>());
    // Four intervals of 95 % all hold in four years of five only; the reading's own tests count that. Twice
    // the interval here: a wrong place or a wrong scan would be off by ten.
    EXPECT_NEAR(reading.at("depth_mm").get<double>(), truth[i], 2 * reading.at("u95_mm").get<double>()) << i;
  }

  std::istringstream csv(content(path("scans/depths.csv")));
  std::string line;
  std::getline(csv, line);
  EXPECT_EQ(line, "patch,date,shots,depth_mm,u95_mm");
  std::getline(csv, line);
  EXPECT_THAT(line, testing::StartsWith("P1,2026-01-05,8000,0.0"));
  std::getline(csv, line);
  std::getline(csv, line);
  EXPECT_THAT(line, testing::StartsWith("P1,2026-07-11,,0."));

  // The wear calculation reads that very table: three scans with known shots, 0.25 mm in 40,000.
  const Ran worn =
      run_program({BOXFETTLE_PROGRAM, "wear", path("scans/depths.csv"), "--limit", "0.5", "--json"}, folder);
  ASSERT_EQ(worn.exit_code, 0) << worn.err;
  const nlohmann::json wear = nlohmann::json::parse(worn.out);
  EXPECT_NEAR(wear.at("rate_mm_per_1000").at("value").get<double>(), 0.25 / 40, 0.0015);
  EXPECT_GT(wear.at("measure_every_shots").get<double>(), 0);
  EXPECT_THAT(wear.at("notes").dump(), HasSubstr("for want of shots or depth: 1."));

  // The table of depths that a run left in the folder is no scan for the next one.
  fs::create_directories(folder / "one");
  fs::copy_file(folder / "scans" / "last.ply", folder / "one" / "last 2026-10-30.ply");
  fs::rename(folder / "scans" / "depths.csv", folder / "one" / "depths.csv");
  const Ran one =
      run_program({BOXFETTLE_PROGRAM, "scan", "--series", path("one"), "--box", path("box.toml")}, folder);
  EXPECT_EQ(one.exit_code, 0) << one.err;
  EXPECT_THAT(one.out,
              testing::AllOf(HasSubstr("1 scan of TM-0412"), HasSubstr("P1  wear on the upper half")));
}

TEST_F(AYearOfScans, ReadsNothingWhenOneDateOrCountIsNotKnown) {
  const auto refused = [](const std::string& why) {
    const Ran ran = series({"--json", "--csv", path("never.csv")});
    EXPECT_EQ(ran.exit_code, 3);
    EXPECT_EQ(ran.out, "");
    EXPECT_THAT(ran.err, HasSubstr(why));
    EXPECT_FALSE(fs::exists(path("never.csv")));
  };
  write("series.csv", "file,date\nlast.ply,2026-10-30\n");
  refused("series.csv: line 1: column 'shots' is missing");
  write("series.csv", "file,date,shots\nlast.ply,30.10.2026,1\n");
  refused("line 2: '30.10.2026' is no day");
  write("series.csv", "file,date,shots\nlost.ply,2026-10-30,1\n");
  refused("names 'lost.ply', which is no scan in this folder");
  write("series.csv", "file,date,shots\nlast.ply,2026-10-30,-5\n");
  refused("shots are no whole count");
  fs::remove(folder / "scans" / "series.csv");
  refused("last.ply: no date is known for this scan");
}

TEST_F(AYearOfScans, GoesWithABoxAndWithoutWhatIsOfOneScan) {
  const std::vector<std::vector<std::string>> wrong{
      {"--scan", "a.ply"}, {"--report", "x.pdf"}, {"--section"}, {"--csv", path("scans/last.ply")}};
  const std::string before = content(path("scans/last.ply"));
  for (const auto& words : wrong) {
    SCOPED_TRACE(words[0]);
    EXPECT_EQ(series(words).exit_code, 2);
  }
  EXPECT_EQ(content(path("scans/last.ply")), before);
  const auto scan = [](std::vector<std::string> words) {
    words.insert(words.begin(), {BOXFETTLE_PROGRAM, "scan"});
    return run_program(std::move(words), folder).exit_code;
  };
  EXPECT_EQ(scan({"--series", path("scans"), "--design", path("scans/core.stl")}), 2);
  EXPECT_EQ(scan({"--box", path("box.toml"), "--scan", path("scans/last.ply"), "--csv", path("x.csv")}), 2);
  EXPECT_EQ(scan({"--series", path("nowhere"), "--box", path("box.toml")}), 3);
}

}  // namespace
}  // namespace boxfettle
