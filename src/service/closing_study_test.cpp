// How a box closes, as its page asks: values on record, measured, and tried.
#include "service/closing_study.hpp"

#include <gmock/gmock.h>

#include "demo/invented_cores.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

const ClosingStudy& volute() {
  static const ClosingStudy study = [] {
    const demo::InventedCore& core = demo::coarse(demo::Core::volute);
    return ClosingStudy{core.box, cavity_footprint(core.design, core.box.parting), {}};
  }();
  return study;
}

LastResult measured(const std::string& checkpoint, double value) {
  return {{checkpoint, true, value, "mm", ""}, 38, {}};
}

std::string refused_place(const json& tried) {
  try {
    with_tried(volute().box, JsonFields::parse(tried.dump()));
  } catch (const InputError& error) {
    return error.place();
  }
  return "not refused";
}

TEST(ClosingStudy, TheLastInspectionWidensBushesAndRaisesFeelersButNeverNarrowsThem) {
  const CoreBox& box = volute().box;
  const CoreBox worse = as_measured(box, {measured("dowels", 0.3), measured("closure-clamped", 0.25), {}});
  for (std::size_t i = 0; i < box.dowels.size(); ++i)
    if (box.dowels[i].kind == Dowel::Bush::round)
      EXPECT_NEAR(worse.dowels[i].bush_mm, std::max(box.dowels[i].bush_mm, box.dowels[i].pin_mm + 0.3),
                  1e-12);
    else
      EXPECT_EQ(worse.dowels[i], box.dowels[i]);
  double thickest = 0;
  for (const GapReading& reading : worse.gap_readings) thickest = std::max(thickest, reading.clamped_mm);
  EXPECT_NEAR(thickest, 0.25, 1e-12);
  EXPECT_EQ(as_measured(box, {measured("dowels", 0.0), measured("closure-clamped", 0.0), {}}), box);
}

TEST(ClosingStudy, WhatIsTriedChangesTheAnswerAndNothingElse) {
  const json before = closing_answer_json(volute(), volute().box, false);
  const std::string id = volute().box.dowels[0].id;
  const double pin = volute().box.dowels[0].pin_mm;
  const json tried{
      {"dowels", {{{"id", id}, {"bush_mm", pin + 0.8}}}}, {"clamps", json::array()}, {"clamped_mm", 0.5}};
  const json after =
      closing_answer_json(volute(), with_tried(volute().box, JsonFields::parse(tried.dump())), false);
  EXPECT_GT(after["dowels"]["worst_mismatch_mm"], before["dowels"]["worst_mismatch_mm"]);
  EXPECT_GT(after["gap"]["growth_mm"]["max"], before["gap"]["growth_mm"]["max"]);
  EXPECT_EQ(after["gap"]["verdict"], "hold");
  EXPECT_EQ(after["gap"]["clamp_force_N"], before["gap"]["clamp_force_N"]);
  EXPECT_EQ(closing_answer_json(volute(), volute().box, false), before);
}

TEST(ClosingStudy, WhatCannotBeTriedIsRefusedNamingTheField) {
  const std::string id = volute().box.dowels[0].id;
  const auto dowel = [&](const json& fields) {
    return json{{"dowels", {fields}}, {"clamps", json::array()}};
  };
  EXPECT_EQ(refused_place(dowel({{"id", id}, {"pin_mm", 99}})), "dowels[0].pin_mm");
  EXPECT_EQ(refused_place(dowel({{"id", id}, {"bush_mm", -1}})), "dowels[0].bush_mm");
  EXPECT_EQ(refused_place(dowel({{"id", "D99"}})), "dowels[0].id");
  EXPECT_EQ(refused_place({{"clamps", json::array()}}), "dowels");
  EXPECT_EQ(refused_place({{"dowels", json::array()}, {"clamps", json::array()}, {"clamped_mm", 1e9}}),
            "clamped_mm");
  EXPECT_EQ(refused_place({{"dowels", json::array()},
                           {"clamps", {{{"id", volute().box.clamps[0].id}, {"force_N", -5}}}}}),
            "clamps[0].force_N");
}

TEST(ClosingStudy, ThePlayOfEveryInspectionStandsAgainstTheShotsMadeByThen) {
  Entry measured, unmeasured, other;
  measured.at = {2000};
  measured.body = Inspected{1, {{"dowels", true, 0.04, "mm", ""}, {"vents", true, 2.0, "", ""}}};
  unmeasured.body = Inspected{1, {{"dowels", true, std::nullopt, "", ""}}};
  other.body = NoteWritten{"oiled"};
  const std::vector<Entry> entries{unmeasured, measured, other};
  const auto series =
      play_series(entries, [](UtcTime at) { return static_cast<double>(at.ms_since_epoch) / 2; });
  ASSERT_EQ(series.size(), 1U);
  EXPECT_EQ(series[0].shots, 1000);
  EXPECT_EQ(series[0].play_mm, 0.04);
}

TEST(ClosingStudy, ThePageHoldsWhatThePictureNeeds) {
  std::vector<PlayReading> play;
  for (int k = 0; k < 8; ++k) play.push_back({1000.0 * k, 0.03 + 0.01 * (k / 2)});
  const json page = closing_page_json(volute(), {measured("dowels", 0.3), {}, {}}, play);
  EXPECT_EQ(page["dowels"].size(), volute().box.dowels.size());
  EXPECT_EQ(page["dowels"][0]["from"], "inspection");
  EXPECT_EQ(page["leaf_from"], "box-file");
  EXPECT_EQ(page["inspection"]["dowel_shift_mm"], 0.3);
  EXPECT_EQ(page["inspection"]["entry"], 38);
  EXPECT_EQ(page["wear"]["series"].size(), 8U);
  EXPECT_NEAR(page["wear"]["rate_mm_per_1000"]["value"], 0.0048, 0.0005);
  EXPECT_GE(page["outlines"].size(), 1U);
  EXPECT_GT(page["answer"]["field"]["at"].size(), 100U);
  EXPECT_FALSE(page["answer"]["cautions"].empty());
}

}  // namespace
}  // namespace boxfettle
