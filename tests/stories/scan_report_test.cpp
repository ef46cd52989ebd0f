// A page of paper for the customer, and the section for the drawing office, made by the program.
#include "paper/scan_report.hpp"

#include <gmock/gmock.h>

#include <cstdio>
#include <nlohmann/json.hpp>
#include <set>

#include "corebox/box_file.hpp"
#include "demo/invented_cores.hpp"
#include "demo/synthetic_half.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/surface_file.hpp"
#include "stories/program_run.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::Not;

class AScannedBox : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder = fs::temp_directory_path() / ("boxfettle_report_" + std::to_string(::getpid()));
    fs::create_directories(folder);
    demo::InventedCore core = demo::pump_volute(4.0);
    core.box.design_file = "core.stl";
    write_binary_stl(core.design, folder / "core.stl");
    std::ofstream(folder / "box.toml") << write_box_file(core.box);
    demo::Scanner scanner;
    scanner.points = 60000;
    scanner.noise_mm = 0.02;
    write_binary_ply(demo::scan_core(core.design, core.box.parting, {}, scanner).points, folder / "good.ply");
    demo::BoxFaults faults;
    faults.mismatch_mm = {0.30, -0.10};
    faults.gap_mm = 0.25;
    faults.patches = {{core.box.vents.at(0).at_design_mm, 15, 0.45},
                      {core.box.blow_inlets.at(0).at_design_mm, 14, -0.3}};
    write_binary_ply(demo::scan_core(core.design, core.box.parting, faults, scanner).points,
                     folder / "worn.ply");
  }
  static void TearDownTestSuite() { fs::remove_all(folder); }

  static std::string path(const std::string& name) { return (folder / name).string(); }
  static Ran scan(std::vector<std::string> words) {
    words.insert(words.begin(), {BOXFETTLE_PROGRAM, "scan"});
    return run_program(std::move(words), folder);
  }
  static Ran with_box(const std::string& scan_file, std::vector<std::string> words) {
    words.insert(words.begin(), {"--box", path("box.toml"), "--scan", path(scan_file)});
    return scan(std::move(words));
  }
  // In reading order, every run of blanks one blank.
  static std::string text_of(const std::string& pdf) {
    const std::string raw = run_program({"pdftotext", "-raw", pdf, "-"}, folder).out;
    std::string text;
    for (const char c : raw) {
      const char plain = c == '\n' || c == '\f' ? ' ' : c;
      if (plain != ' ' || (!text.empty() && text.back() != ' ')) text += plain;
    }
    return text;
  }
  static std::set<std::string> files() {
    std::set<std::string> names;
    for (const auto& item : fs::directory_iterator(folder)) names.insert(item.path().filename().string());
    return names;
  }

  inline static fs::path folder;
};

// As the page prints a figure: a true minus sign.
std::string printed(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  std::string figure = text;
  if (figure[0] == '-') figure.replace(0, 1, "\u2212");
  return figure;
}

TEST_F(AScannedBox, IsHandedOverOnOnePageWithTheFiguresOfTheJson) {
  const Ran ran = with_box("worn.ply", {"--report", path("worn.pdf"), "--date", "2026-03-14", "--shop",
                                        "Tarnmoor Castings", "--json"});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  const nlohmann::json told = nlohmann::json::parse(ran.out);
  const std::string info = run_program({"pdfinfo", path("worn.pdf")}, folder).out;
  EXPECT_THAT(info, testing::ContainsRegex("Pages: +1\n"));
  EXPECT_THAT(info, HasSubstr("A4"));
  const std::string page = text_of(path("worn.pdf"));
  EXPECT_THAT(page, HasSubstr("TM-0412"));
  EXPECT_THAT(page, HasSubstr("Tarnmoor Castings"));
  EXPECT_THAT(page, HasSubstr("2026-03-14"));
  EXPECT_EQ(told.at("verdict"), "hold");
  EXPECT_THAT(page, HasSubstr("HOLD"));
  EXPECT_THAT(page, HasSubstr("no certificate"));
  ASSERT_GE(told.at("findings").size(), 4u) << "mismatch, gap, wear and build-up";
  for (const auto& finding : told.at("findings")) {
    EXPECT_THAT(page, HasSubstr(finding.at("text").get<std::string>()));
    EXPECT_THAT(page, HasSubstr(printed("%+.3f", finding.at("depth_mm"))));
    EXPECT_THAT(page, HasSubstr(printed("%.3f", finding.at("u95_mm"))));
    if (finding.at("area_mm2") > 0) {
      EXPECT_THAT(page, HasSubstr(printed("%.1f", finding.at("area_mm2"))));
    }
  }
  const auto& halves = told.at("halves");
  EXPECT_THAT(page, HasSubstr(printed("%.3f", halves.at("mismatch_worst_mm"))));
  EXPECT_THAT(page, HasSubstr(printed("%+.3f", halves.at("gap_mm"))));
  EXPECT_THAT(page, HasSubstr(printed("%+.4f", halves.at("rotation_deg"))));
  EXPECT_THAT(page, HasSubstr(printed("%.4f", halves.at("u95").at("tilt_deg").at(0))));
  EXPECT_THAT(page, HasSubstr(printed("%.3f", told.at("deviation").at("sd_mm"))));
  for (const auto& input : told.at("inputs"))
    EXPECT_THAT(page, HasSubstr(input.at("sha256").get<std::string>().substr(0, 16)));
}

TEST_F(AScannedBox, OfAHalfTheOnePageTellsFaceAndDowelsInsteadOfSectionAndHalves) {
  CoreBox box = read_box_file(path("box.toml"));
  const TriangleMesh design = read_mesh_file(path("core.stl"));
  demo::HalfFaults faults;
  faults.face_offset_mm = 0.25;
  faults.dowels = {{box.dowels.at(0).id, {0.08, 0}, 0.12}};
  const demo::ToolHalf tool(design, box, Half::upper, faults);
  demo::Scanner scanner;
  scanner.points = 100000;
  scanner.noise_mm = 0.02;
  write_binary_ply(demo::scan_half(tool, scanner).points, folder / "upper.ply");
  const Ran ran = with_box("upper.ply", {"--of", "half-upper", "--report", path("upper.pdf"), "--date",
                                         "2026-03-14", "--json"});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  const nlohmann::json told = nlohmann::json::parse(ran.out);
  EXPECT_THAT(run_program({"pdfinfo", path("upper.pdf")}, folder).out, testing::ContainsRegex("Pages: +1\n"));
  const std::string page = text_of(path("upper.pdf"));
  EXPECT_THAT(page, HasSubstr("What the scan of its upper half says about a core box"));
  EXPECT_THAT(page, HasSubstr("into the half, from one side"));
  EXPECT_THAT(page, testing::Not(HasSubstr("Section at the parting face")));
  EXPECT_THAT(page, testing::Not(HasSubstr("Upper half against the lower")));
  const auto& face = told.at("parting_face");
  for (const char* key : {"flatness_ls_mm", "flatness_min_zone_mm", "u95_mm"})
    EXPECT_THAT(page, HasSubstr(printed("%.3f", face.at(key))));
  EXPECT_THAT(page, HasSubstr(printed("%+.3f", face.at("offset_mm"))));
  ASSERT_EQ(told.at("dowels").size(), box.dowels.size());
  for (const auto& dowel : told.at("dowels")) {
    ASSERT_TRUE(dowel.at("told").get<bool>());
    EXPECT_THAT(page, HasSubstr(dowel.at("id").get<std::string>() + " " + dowel.at("kind").get<std::string>()));
    EXPECT_THAT(page, HasSubstr(printed("%.3f", dowel.at("diameter_mm"))));
  }
  for (const auto& finding : told.at("findings"))
    EXPECT_THAT(page, HasSubstr(finding.at("text").get<std::string>()));
}

TEST_F(AScannedBox, OfTheOtherHalfNoFigureIsPrintedThatNobodyMeasured) {
  const demo::InventedCore core = demo::pump_volute(4.0);
  const demo::HalfFaults none;
  const demo::ToolHalf tool(core.design, core.box, Half::upper, none);
  demo::Scanner scanner;
  scanner.points = 60000;
  write_binary_ply(demo::scan_half(tool, scanner).points, folder / "upper.ply");
  const Ran ran = with_box(
      "upper.ply", {"--of", "half-lower", "--design", path("core.stl"), "--report", path("upper.pdf")});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  for (const std::string& told : {ran.out, text_of(path("upper.pdf"))}) {
    EXPECT_THAT(told, HasSubstr("Nothing was measured"));
    EXPECT_THAT(told, HasSubstr("the other half was scanned"));
    EXPECT_THAT(told, Not(HasSubstr("0.000 mm")));
  }
  const nlohmann::json figures =
      nlohmann::json::parse(
          with_box("upper.ply", {"--of", "half-lower", "--design", path("core.stl"), "--json"}).out)
          .at("deviation");
  EXPECT_FALSE(figures.contains("mean_mm"));
}

TEST_F(AScannedBox, OfAHalfTheReportStaysOnOnePageHoweverManyDowelsItHas) {
  const demo::InventedCore core = demo::stepped_valve_body(6.0);
  ScanReading reading;
  reading.of = ScanSubject::half_lower;
  reading.surface = core.design;
  reading.vertex_deviation_mm.assign(core.design.vertices.size(), 0.1f);
  for (int i = 0; i < 90; ++i) {
    DowelReading dowel;
    dowel.id = "D" + std::to_string(i) + std::string(100, 'd');
    dowel.told = i % 2 == 0;
    dowel.why_not = std::string(300, 'y');
    reading.dowels.push_back(dowel);
  }
  const std::vector<std::byte> pdf = scan_report(reading, &core.box, {"2026-03-14", "", {}});
  std::ofstream(folder / "dowels.pdf", std::ios::binary)
      .write(reinterpret_cast<const char*>(pdf.data()), static_cast<std::streamsize>(pdf.size()));
  EXPECT_THAT(run_program({"pdfinfo", path("dowels.pdf")}, folder).out,
              testing::ContainsRegex("Pages: +1\n"));
  const std::string page = text_of(path("dowels.pdf"));
  EXPECT_THAT(page, testing::ContainsRegex("and [0-9]+ more in the JSON"));
  EXPECT_THAT(page, HasSubstr("Parting face against the cavity Cannot be told."));
}

TEST_F(AScannedBox, GivesTheSameBytesForTheSameScanAndDate) {
  for (const char* name : {"one.pdf", "two.pdf"})
    ASSERT_EQ(with_box("worn.ply", {"--report", path(name), "--date", "2026-03-14"}).exit_code, 0);
  EXPECT_EQ(content(path("one.pdf")), content(path("two.pdf")));
}

TEST_F(AScannedBox, WithoutItsBoxFileSaysNothingOfHalvesOrSectionOnPaper) {
  const Ran ran =
      scan({"--design", path("core.stl"), "--scan", path("good.ply"), "--report", path("bare.pdf")});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  const std::string page = text_of(path("bare.pdf"));
  EXPECT_THAT(page, HasSubstr("FIT"));
  EXPECT_THAT(page, HasSubstr("no box file was given"));
  EXPECT_THAT(page, testing::Not(HasSubstr("Section at the parting face")));
  EXPECT_THAT(page, testing::Not(HasSubstr("Upper half against the lower")));
  EXPECT_THAT(page, HasSubstr("Nothing was found"));
}

TEST_F(AScannedBox, LeavesNoHalfReportWhereItCannotBeWrittenAndNoneWhenTheScanIsBad) {
  const std::set<std::string> before = files();
  const Ran nowhere = with_box("good.ply", {"--report", path("no such folder/page.pdf")});
  EXPECT_EQ(nowhere.exit_code, 3);
  EXPECT_EQ(nowhere.out, "");
  EXPECT_THAT(nowhere.err, HasSubstr("page.pdf: cannot be written"));
  std::ofstream(folder / "few.xyz") << "1 2 3\n4 5 6\n";
  EXPECT_EQ(with_box("few.xyz", {"--report", path("few.pdf")}).exit_code, 3);
  fs::remove(folder / "few.xyz");
  EXPECT_EQ(files(), before);
}

TEST_F(AScannedBox, IsNotWrittenOverByItsOwnReport) {
  const std::string before = content(path("good.ply"));
  const Ran ran = with_box("good.ply", {"--report", path("good.ply")});
  EXPECT_EQ(ran.exit_code, 2);
  EXPECT_EQ(content(path("good.ply")), before);
}

TEST_F(AScannedBox, WantsADayForADateAndAReportForAShop) {
  EXPECT_EQ(with_box("good.ply", {"--report", path("x.pdf"), "--date", "2026-02-30"}).exit_code, 2);
  EXPECT_EQ(with_box("good.ply", {"--shop", "Tarnmoor Castings"}).exit_code, 2);
  EXPECT_FALSE(fs::exists(path("x.pdf")));
}

TEST_F(AScannedBox, ShowsItsSectionAtThePartingFaceInDesignCoordinates) {
  const Ran ran = with_box("good.ply", {"--section", "--json"});
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  const nlohmann::json told = nlohmann::json::parse(ran.out);
  const auto& section = told.at("section");
  const auto at = section.at("plane_point_mm").get<std::vector<double>>();
  const auto normal = section.at("plane_normal").get<std::vector<double>>();
  for (const char* which : {"design", "measured"}) {
    ASSERT_FALSE(section.at(which).empty());
    for (const auto& line : section.at(which)) {
      EXPECT_TRUE(line.at("closed").get<bool>());
      for (const auto& point : line.at("points_mm")) {
        double height = 0;
        for (std::size_t k = 0; k < 3; ++k) height += normal[k] * (point.at(k).get<double>() - at[k]);
        ASSERT_NEAR(height, 0, 0.002) << "rounded to 0.001 mm along each axis";
      }
    }
  }
  EXPECT_THAT(with_box("good.ply", {"--section"}).out, HasSubstr("Section at the parting face"));
}

TEST_F(AScannedBox, HasNoSectionWithoutItsBoxFile) {
  const Ran ran = scan({"--design", path("core.stl"), "--scan", path("good.ply"), "--section"});
  EXPECT_EQ(ran.exit_code, 2);
  EXPECT_THAT(ran.err, HasSubstr("--section needs --box"));
}

// Sixty findings, forty notes and names as long as a file system takes them: nothing may run over.
TEST_F(AScannedBox, StaysOnOnePageHoweverMuchThereIsToSay) {
  const demo::InventedCore core = demo::stepped_valve_body(6.0);
  ScanReading reading;
  reading.surface = core.design;
  reading.vertex_deviation_mm.assign(core.design.vertices.size(), 0.1f);
  reading.halves = HalvesReading{};
  reading.halves->why_not = "Too little of the upper half was seen to place it.";
  for (std::size_t i = 0; i < 60; ++i) {
    Finding finding{FindingKind::wear, Severity::hold, core.design.vertices[i * 7]};
    finding.depth_mm = 0.5;
    finding.area_mm2 = 120;
    finding.vertices = {static_cast<std::uint32_t>(i * 7)};
    finding.text = "Finding number " + std::to_string(i) + std::string(400, 'w') + " words without end";
    reading.findings.push_back(finding);
  }
  for (int i = 0; i < 40; ++i) reading.notes.push_back("Note " + std::to_string(i) + std::string(80, 'n'));
  CoreBox box = core.box;
  box.id = std::string(120, 'I') + "\xff\xfe";
  box.name = "a name\nof two lines " + std::string(200, 'N');
  const InputFile file{std::string(200, 'f'), 1234567890123u, std::string(64, 'a')};
  const std::vector<std::byte> pdf =
      scan_report(reading, &box, {"2026-03-14", std::string(300, 'S'), {file, file, file}});
  std::ofstream(folder / "full.pdf", std::ios::binary)
      .write(reinterpret_cast<const char*>(pdf.data()), static_cast<std::streamsize>(pdf.size()));
  EXPECT_THAT(run_program({"pdfinfo", path("full.pdf")}, folder).out, testing::ContainsRegex("Pages: +1\n"));
  const std::string page = text_of(path("full.pdf"));
  EXPECT_THAT(page, testing::ContainsRegex("and [0-9]+ more in the JSON \\(boxfettle scan --json\\)"));
  EXPECT_THAT(page, HasSubstr("Finding number 0"));
  EXPECT_THAT(page, HasSubstr("SHA-256 aaaaaaaaaaaaaaaa")) << "however long the file's name";
  EXPECT_THAT(page, testing::Not(HasSubstr("Finding number 59")));
  EXPECT_THAT(page, HasSubstr("Cannot be told. Too little of the upper half was seen to place it."));
  EXPECT_THAT(page, HasSubstr("no certificate"));
}

}  // namespace
}  // namespace boxfettle
