// What a shop decides by, asked of the program: charts, capability, first pieces, gauges, wear, life.
#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "paper/series_reading.hpp"
#include "reading/printed.hpp"
#include "statistics/random_numbers.hpp"
#include "stories/program_run.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing::HasSubstr;

class AQualityDesk : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder = fs::temp_directory_path() / ("boxfettle_desk_" + std::to_string(::getpid()));
    fs::create_directories(folder);
  }
  static void TearDownTestSuite() { fs::remove_all(folder); }
  static std::string path(const std::string& name) { return (folder / name).string(); }
  static void write(const std::string& name, const std::string& text) {
    std::ofstream(folder / name, std::ios::binary) << text;
  }
  static Ran boxfettle(std::vector<std::string> words) {
    words.insert(words.begin(), BOXFETTLE_PROGRAM);
    return run_program(std::move(words), folder);
  }
  static json told(std::vector<std::string> words) {
    words.emplace_back("--json");
    const Ran ran = boxfettle(std::move(words));
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    EXPECT_EQ(ran.err, "");
    EXPECT_EQ(ran.out.find("nan"), std::string::npos);
    return ran.exit_code == 0 ? json::parse(ran.out) : json();
  }
  static void expect_refused(std::vector<std::string> words, int code, const std::string& why) {
    words.emplace_back("--json");
    const Ran ran = boxfettle(std::move(words));
    EXPECT_EQ(ran.exit_code, code) << ran.out;
    EXPECT_EQ(ran.out, "");
    EXPECT_THAT(ran.err, HasSubstr(why));
    EXPECT_EQ(std::count(ran.err.begin(), ran.err.end(), '\n'), 1);
  }
  static void expect_holds(const json& estimate, double truth) {
    EXPECT_LE(estimate.at("low").get<double>(), truth);
    EXPECT_GE(estimate.at("high").get<double>(), truth);
  }

  inline static fs::path folder;
};

TEST_F(AQualityDesk, SeesOnTheChartBetweenWhichCoresTheWeightMoved) {
  // As a scale with a German spreadsheet behind it writes them: semicolons, decimal commas, byte-order mark.
  RandomNumbers random(5);
  std::string csv =
      "\xEF\xBB\xBF"
      "core;hour;weight_g\r\n";
  for (int core = 1; core <= 200; ++core) {
    std::string weight = printed("%.1f", 1200 + 3 * random.normal() + (core > 150 ? 6 : 0));
    std::replace(weight.begin(), weight.end(), '.', ',');
    csv += std::to_string(core) + ";h" + std::to_string((core - 1) / 5) + ";" + (core == 20 ? "" : weight) +
           "\r\n";
  }
  write("weights.csv", csv);
  const json single = told({"chart", path("weights.csv"), "--kind", "i-mr", "--column", "weight_g",
                            "--baseline", "100", "--picture", path("chart.svg")});
  for (const char* key : {"centre", "lower", "upper"}) {
    EXPECT_TRUE(single.at("limits").at(key).is_number());
    EXPECT_TRUE(single.at("spread").at(key).is_number());
  }
  ASSERT_EQ(single.at("points").size(), 200u);
  EXPECT_TRUE(single["points"][19].at("missing").get<bool>());
  ASSERT_FALSE(single.at("signals").empty());
  for (const json& signal : single["signals"]) {
    EXPECT_TRUE(signal.at("index").is_number_unsigned());
    EXPECT_TRUE(signal.at("rule").is_string());
  }
  const json& change = single.at("changes").back();
  EXPECT_LE(std::stoi(change.at("low_label").get<std::string>()), 151);
  EXPECT_GE(std::stoi(change.at("high_label").get<std::string>()), 151);
  EXPECT_GT(single.at("run_length").at("in_control").get<double>(), 50);
  const std::string drawing = content(path("chart.svg"));
  EXPECT_THAT(drawing, testing::StartsWith("<svg "));
  EXPECT_THAT(drawing, testing::EndsWith("</svg>\n"));
  EXPECT_THAT(drawing, HasSubstr("The level moved between"));

  const json means =
      told({"chart", path("weights.csv"), "--kind", "xbar-s", "--column", "weight_g", "--subgroup", "hour"});
  EXPECT_EQ(means.at("points").size(), 40u);
  EXPECT_EQ(means["points"][3].at("size"), 4) << "one of its five cores is missing";
}

TEST_F(AQualityDesk, IsToldInWordsWhenTheWeightDriftsInsteadOfJumping) {
  RandomNumbers random(6);
  std::string csv = "core,weight_g\n";
  for (int core = 1; core <= 200; ++core)
    csv += std::to_string(core) +
           printed(",%.1f\n", 1200 + 3 * random.normal() + 0.12 * std::max(core - 100, 0));
  write("drifting.csv", csv);
  const std::vector<std::string> words{"chart",    path("drifting.csv"), "--kind",    "i-mr",
                                       "--column", "weight_g",           "--picture", path("drift.svg")};
  const json chart = told(words);
  ASSERT_EQ(chart.at("changes").size(), 1u);
  const json& change = chart["changes"][0];
  EXPECT_EQ(change.at("shape"), "drift");
  expect_holds(change.at("drift").at("per_100_points"), 12);
  EXPECT_LE(std::stoi(change["drift"].at("from_low_label").get<std::string>()), 100);
  EXPECT_GE(std::stoi(change["drift"].at("from_high_label").get<std::string>()), 100);
  const std::string sentence = change.at("text");
  EXPECT_THAT(sentence, testing::StartsWith("The level drifts, it did not jump: by +"));
  EXPECT_THAT(boxfettle(words).out, HasSubstr(sentence));
  EXPECT_THAT(content(path("drift.svg")), HasSubstr(sentence));
}

// A core's row is some 6 bytes; what is kept of it is its place, its label and its point on the chart.
TEST_F(AQualityDesk, TakesMemoryForALongChartByItsRows) {
  const auto peak_kb = [](int cores, bool as_json) {
    RandomNumbers random(7);
    std::string csv = "weight_g\n";
    for (int core = 0; core < cores; ++core) csv += printed("%.1f\n", 412 + random.normal());
    write("long.csv", csv);
    std::vector<std::string> words{"chart", path("long.csv"), "--kind", "i-mr"};
    if (as_json) words.emplace_back("--json");
    const Ran ran = boxfettle(words);
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    return static_cast<double>(ran.peak_kb);
  };
  for (const bool as_json : {false, true}) {
    const double bytes_a_row = 1024 * (peak_kb(220'000, as_json) - peak_kb(20'000, as_json)) / 200'000;
    std::printf("chart%s: %.0f bytes of memory a row\n", as_json ? " --json" : "", bytes_a_row);
    EXPECT_LT(bytes_a_row, as_json ? 800 : 400);
  }
}

TEST_F(AQualityDesk, CountsBadCoresOnAPChart) {
  write("bad.csv", "date,bad,checked\n2026-01-05,2,50\n2026-01-06,1,50\n2026-01-07,3,80\n2026-01-08,15,50\n");
  const json chart = told({"chart", path("bad.csv"), "--kind", "p", "--column", "bad"});
  EXPECT_NEAR(chart.at("limits").at("centre").get<double>(), 21.0 / 230, 1e-12);
  ASSERT_EQ(chart.at("signals").size(), 1u);
  EXPECT_EQ(chart["signals"][0].at("index"), 3);
  EXPECT_EQ(chart["signals"][0].at("label"), "2026-01-08");
}

TEST_F(AQualityDesk, TellsCapabilityWithItsInterval) {
  RandomNumbers random(6);
  std::string csv = "height_mm\n";
  for (int i = 0; i < 120; ++i) csv += printed("%.4f\n", 50 + 0.08 * random.normal());
  write("heights.csv", csv);
  const json both = told({"capability", path("heights.csv"), "--lower", "49.7", "--upper", "50.3"});
  for (const char* key : {"cp", "cpk", "pp", "ppk"}) {
    EXPECT_LT(both.at(key).at("low").get<double>(), both.at(key).at("value").get<double>());
    EXPECT_GT(both.at(key).at("high").get<double>(), both.at(key).at("value").get<double>());
  }
  expect_holds(both["pp"], 0.6 / (6 * 0.08));
  const json one =
      told({"capability", path("heights.csv"), "--upper", "50.3", "--picture", path("capability.svg")});
  EXPECT_FALSE(one.contains("cp"));
  EXPECT_TRUE(one.contains("cpk"));
  EXPECT_THAT(content(path("capability.svg")), HasSubstr("upper 50.3"));
}

TEST_F(AQualityDesk, SaysWhatFirstPiecesAllow) {
  const json pieces = told({"firstpiece", "--checked", "5", "--bad", "0"});
  EXPECT_EQ(pieces.at("bad_fraction").at("low"), 0);
  EXPECT_NEAR(pieces["bad_fraction"].at("high").get<double>(), 1 - std::pow(0.025, 0.2), 1e-12);
  EXPECT_NEAR(pieces["bad_fraction"].at("at_most").get<double>(), 1 - std::pow(0.05, 0.2), 1e-12);
  EXPECT_EQ(pieces.at("needed_for").at("10_percent"), 29);
  EXPECT_EQ(pieces["needed_for"].at("5_percent"), 59);
  EXPECT_EQ(pieces["needed_for"].at("1_percent"), 299);
  EXPECT_THAT(boxfettle({"firstpiece", "--checked", "5", "--bad", "0"}).out, HasSubstr("up to 45.1 %"));
  write("plan.csv", "checked,accept,reject\n13,0,3\n13,3,4\n");
  const json plan = told({"firstpiece", "--plan", path("plan.csv"), "--picture", path("plan.svg")});
  EXPECT_EQ(plan.at("plan").at("outcomes")[0].at("accepted"), 1);
  write("undecided.csv", "checked,accept,reject\n13,0,3\n");
  expect_refused({"firstpiece", "--plan", path("undecided.csv")}, 3,
                 "line 2: the last stage leaves runs undecided");
}

TEST_F(AQualityDesk, TellsTheGaugeFromTheParts) {
  RandomNumbers random(7);
  std::string csv = "part,operator,value\n";
  for (int part = 1; part <= 8; ++part) {
    const double size = 20 + random.normal();
    for (const char* who : {"A", "B", "C"})
      for (int i = 0; i < 3; ++i) csv += printed("%d,%s,%.4f\n", part, who, size + 0.1 * random.normal());
  }
  write("gauge.csv", csv);
  const json study = told({"gauge", path("gauge.csv"), "--part", "part", "--operator", "operator", "--value",
                           "value", "--tolerance", "6", "--picture", path("gauge.svg")});
  expect_holds(study.at("variance").at("repeatability"), 0.01);
  EXPECT_NEAR(study.at("grr_percent").get<double>(), 10, 5);
  EXPECT_GE(study.at("ndc").get<int>(), 5);
  EXPECT_TRUE(study.at("tolerance_percent").is_number());
}

TEST_F(AQualityDesk, ForecastsWearFromTheTableThatASeriesOfScansLeaves) {
  RandomNumbers random(8);
  std::string csv = std::string(series_csv_header) + "\n";
  for (int scan = 1; scan <= 6; ++scan) {
    csv += printed("P1,2026-0%d-01,%d,%.4f,0.0196\n", scan, 4000 * scan,
                   0.02 + 0.024 * scan + 0.01 * random.normal());
    csv +=
        printed("P2,2026-0%d-01,%s,%.4f,0.0196\n", scan, scan == 3 ? "" : std::to_string(4000 * scan).c_str(),
                -0.01 - 0.012 * scan + 0.01 * random.normal());
  }
  write("depths.csv", csv);
  const json wear = told({"wear", path("depths.csv"), "--limit", "0.3", "--monthly-shots", "2000", "--risk",
                          "0.05", "--picture", path("wear.svg")});
  expect_holds(wear.at("rate_mm_per_1000"), 0.0045);
  EXPECT_TRUE(wear.at("wear_told").get<bool>());
  EXPECT_EQ(wear.at("worst_patch"), "P1");
  const auto& shots = wear.at("shots_to_limit");
  // How often such forecasts hold is counted in the room's own survey.
  EXPECT_LT(shots.at("p05").get<double>(), shots.at("p50").get<double>());
  EXPECT_LT(shots.at("p50").get<double>(), shots.at("p95").get<double>());
  EXPECT_NEAR(wear.at("measure_every_months").get<double>(),
              wear.at("measure_every_shots").get<double>() / 2000, 1e-9);
  EXPECT_EQ(wear.at("patches")[1].at("kind"), "build-up");
  EXPECT_THAT(wear.at("notes").dump(), HasSubstr("for want of shots or depth: 1."));
  const json busy = told({"wear", path("depths.csv"), "--limit", "0.3", "--monthly-shots", "8000"});
  EXPECT_LT(busy.at("measure_every_months").get<double>(), wear.at("measure_every_months").get<double>());
}

TEST_F(AQualityDesk, LearnsTheLifeOfBushesFromThoseThatFailedAndThoseThatHold) {
  RandomNumbers random(9);
  std::string csv = "shots,failed,last_sound,supplier\n", sound = "shots,failed\n";
  for (int i = 0; i < 60; ++i) {
    const double life = 40000 * std::pow(-std::log(random.uniform()), 1 / 2.2);
    csv += printed("%.0f,%s,%s,%s\n", std::min(life, 45000.0), life < 45000 ? "yes" : "no",
                   life < 45000 && i % 3 == 0 ? printed("%.0f", 0.8 * life).c_str() : "",
                   i % 2 == 0 ? "N" : "S");
    sound += "30000,0\n";
  }
  write("bushes.csv", csv);
  const json life = told({"life", path("bushes.csv"), "--time-column", "shots", "--failed-column", "failed",
                          "--cost-planned", "80", "--cost-failure", "900", "--group-column", "supplier",
                          "--picture", path("life.svg")});
  expect_holds(life.at("shape"), 2.2);
  EXPECT_GT(life.at("scale").at("value").get<double>(), 30000);
  EXPECT_LT(life.at("b10").get<double>(), life.at("renew_at").get<double>() * 2);
  EXPECT_GT(life.at("saving_fraction").get<double>(), 0.1);
  EXPECT_EQ(life.at("groups").size(), 2u);
  write("sound.csv", sound);
  const json none = told({"life", path("sound.csv"), "--picture", path("sound.svg")});
  EXPECT_FALSE(none.at("told").get<bool>());
  EXPECT_FALSE(none.contains("shape"));
  EXPECT_GT(none.at("b10_at_least").get<double>(), 30000) << "sixty that hold bear more than their own shots";
  EXPECT_THAT(none.at("notes").dump(), HasSubstr("None failed"));
}

TEST_F(AQualityDesk, AnswersDataThatTellNothingWithOneLineAndTheReason) {
  write("same.csv", "value\n4.1\n4.1\n4.1\n");
  write("one.csv", "value\n4.1\n");
  write("text.csv", "value\n4.1\nabout four\n4.2\n");
  write("huge.csv", "value\n1e308\n-1e308\n");
  write("empty.csv", "");
  expect_refused({"chart", path("same.csv"), "--kind", "i-mr"}, 3, "same.csv: all values are the same");
  expect_refused({"chart", path("one.csv"), "--kind", "ewma"}, 3, "one.csv: has too few values");
  expect_refused({"chart", path("text.csv"), "--kind", "i-mr"}, 3,
                 "text.csv: line 3: 'about four' under value");
  expect_refused({"chart", path("huge.csv"), "--kind", "i-mr"}, 3, "line 2: '1e308' is beyond all measures");
  expect_refused({"chart", path("same.csv"), "--kind", "i-mr", "--column", "weight"}, 3,
                 "column 'weight' is missing");
  expect_refused({"chart", path("empty.csv"), "--kind", "i-mr"}, 3, "empty.csv");
  expect_refused({"chart", path("nowhere.csv"), "--kind", "i-mr"}, 3, "nowhere.csv");
  expect_refused({"chart", path("same.csv"), "--kind", "xbar-r"}, 2, "needs --subgroup NAME");
  expect_refused({"chart", path("same.csv"), "--kind", "pie"}, 2, "--kind takes");
  expect_refused({"capability", path("text.csv"), "--lower", "5", "--upper", "4"}, 3, "text.csv: line 3");
  expect_refused({"capability", path("same.csv"), "--lower", "5", "--upper", "4"}, 3,
                 "lower limit is not below");
  expect_refused({"capability", path("same.csv")}, 2, "--lower L or --upper U is missing");
  expect_refused({"firstpiece", "--checked", "5", "--bad", "6"}, 2, "more than --checked");
  expect_refused({"gauge", path("same.csv")}, 3, "column 'part' is missing");
  expect_refused({"wear", path("same.csv"), "--limit", "0.3"}, 3, "column 'shots' is missing");
  expect_refused({"life", path("same.csv")}, 3, "column 'time' is missing");
  const std::string before = content(path("text.csv"));
  expect_refused({"wear", path("text.csv"), "--limit", "0.3", "--picture", path("text.csv")}, 3,
                 "column 'shots'");
  EXPECT_EQ(content(path("text.csv")), before);
}

// Whatever stands in the table, each command answers or refuses in one line, and no number in its answer is
// none.
TEST_F(AQualityDesk, NeverPrintsANumberThatIsNone) {
  const auto table = [](const std::string& head, const std::vector<std::string>& rows) {
    std::string csv = head + "\n";
    for (const std::string& row : rows) csv += row + "\n";
    write("odd.csv", csv);
  };
  const auto tried = [](std::vector<std::string> words, const std::string& picture) {
    words.insert(words.end(), {"--json", "--picture", path(picture)});
    const Ran ran = boxfettle(words);
    SCOPED_TRACE(testing::PrintToString(words));
    ASSERT_TRUE(ran.exit_code == 0 || ran.exit_code == 3) << ran.exit_code << ran.err;
    if (ran.exit_code == 3) {
      EXPECT_EQ(ran.out, "");
      EXPECT_EQ(std::count(ran.err.begin(), ran.err.end(), '\n'), 1) << ran.err;
      return;
    }
    EXPECT_FALSE(json::parse(ran.out).empty());
    for (const std::string& text : {ran.out, content(path(picture))})
      for (const char* none : {"nan", "inf,", "null", "-inf"})
        EXPECT_EQ(text.find(none), std::string::npos) << none;
  };
  const std::vector<std::vector<std::string>> columns{
      {},          {""},          {"4.1"},           {"4.1", "4.1", "4.1", "4.1"},
      {"", "", ""}, {"4.1", "", "4.2", "", "4.3", "4.1"}, {"0", "0", "0", "0"}, {"-1", "1", "-1", "1"},
      {"1e30", "-1e30", "1e30"}, {"1e-300", "2e-300", "1e-300"}, {"1", "two", "3"}};
  for (const auto& rows : columns) {
    table("value", rows);
    for (const char* kind : {"i-mr", "ewma", "cusum", "c"}) tried({"chart", path("odd.csv"), "--kind", kind}, "odd.svg");
    for (const char* kind : {"xbar-r", "xbar-s", "p"})
      tried({"chart", path("odd.csv"), "--kind", kind, "--size", "2"}, "odd.svg");
    tried({"capability", path("odd.csv"), "--lower", "4", "--upper", "5"}, "odd.svg");
    tried({"firstpiece", "--measured", path("odd.csv")}, "odd.svg");
  }
  const std::vector<std::vector<std::string>> lives{
      {},      {"100,1"}, {"100,0", "200,0"}, {"100,1", "100,1", "100,1"}, {"0,1", "5,1"},
      {"-5,1"}, {"100,maybe"}, {"old,1"},     {"1e-300,1", "1e30,1"},      {"100,1", "200,1", "300,0"}};
  for (const auto& rows : lives) {
    table("time,failed", rows);
    tried({"life", path("odd.csv"), "--cost-planned", "1", "--cost-failure", "5"}, "odd.svg");
  }
  const std::vector<std::vector<std::string>> depths{
      {},  {"1000,0.01"}, {"1000,0.01", "1000,0.02", "1000,0.03"}, {"0,0.5", "1000,0.6", "2000,0.75", "3000,0.8"},
      {"1000,0.05", "2000,0.05", "3000,0.05"}, {"1000,-0.01", "2000,-0.03", "3000,-0.02"}, {"many,0.1"},
      {"1000,0.031", "2000,0.02", "3000,0.012", "4000,0.001"}, {"1e30,1", "2e29,2", "0,1"}};
  for (const auto& rows : depths) {
    table("shots,depth_mm", rows);
    tried({"wear", path("odd.csv"), "--limit", "0.3", "--monthly-shots", "2000"}, "odd.svg");
  }
  const std::vector<std::vector<std::string>> gauged{
      {}, {"1,A,5"}, {"1,A,5", "1,B,5", "2,A,5", "2,B,5"}, {"1,A,5", "1,B,6", "2,A,7", "2,B,8"}, {"1,A,five"},
      {"1,A,5", "1,A,6", "1,B,5", "1,B,6"}, {"1,A,1e30", "1,A,-1e30", "2,A,0", "2,A,1"}};
  for (const auto& rows : gauged) {
    table("part,operator,value", rows);
    tried({"gauge", path("odd.csv"), "--tolerance", "1"}, "odd.svg");
  }
}

}  // namespace
}  // namespace boxfettle
