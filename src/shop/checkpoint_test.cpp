#include "shop/checkpoint.hpp"

#include <gmock/gmock.h>

#include "input/input_error.hpp"
#include "shop/inspected_value.hpp"

namespace boxfettle {
namespace {

const std::string one_point = R"(
version = 3
inspect_again_after_days = 7
[[checkpoint]]
id = "vents"
title = "Vents"
how = "Hold it against the light."
fails_when = "One is plugged."
evidence = "count"
consequence = "watch"
)";

std::string refusal_of(const std::string& toml) {
  try {
    parse_catalogue(toml, "checkpoints.toml");
  } catch (const InputError& refused) {
    return refused.what();
  }
  return "";
}

std::string with(const std::string& was, const std::string& is) {
  std::string text = one_point;
  return text.replace(text.find(was), was.size(), is);
}

TEST(Checkpoints, TheShippedCatalogueLooksAtEverythingABoxCanFailBy) {
  const Catalogue& catalogue = shipped_catalogue();
  for (const char* id : {"identity", "cavity", "dowels", "handles", "parting-face", "vents", "closure-free",
                         "closure-clamped", "loose-pieces", "clamps", "ejectors", "seals"})
    EXPECT_NE(catalogue.find(id), nullptr) << id;
  EXPECT_EQ(catalogue.checkpoints.size(), 12u);
  EXPECT_GE(catalogue.version, 1);
}

TEST(Checkpoints, ALooseHandleIsASafetyHoldAndItsLookComesWithACaution) {
  const Checkpoint* handles = shipped_catalogue().find("handles");
  ASSERT_NE(handles, nullptr);
  EXPECT_EQ(handles->consequence, Consequence::safety_hold);
  EXPECT_FALSE(handles->caution.empty());
}

TEST(Checkpoints, AMeasureSaysItsUnit) {
  for (const Checkpoint& point : shipped_catalogue().checkpoints)
    EXPECT_EQ(point.unit.empty(), point.evidence != Evidence::measure) << point.id;
  EXPECT_THAT(refusal_of(with("\"count\"", "\"measure\"")), testing::HasSubstr("checkpoint[0].unit"));
}

TEST(Checkpoints, ABoundIsANumberOrAShareOfALimitOfTheBox) {
  const auto allowed = [](const std::string& lines) {
    return parse_catalogue(one_point + lines, "own.toml").checkpoints.at(0).allowed;
  };
  const BoxRegistered::Limits limits{.surface_mm = 0.3, .mismatch_mm = 0.4, .gap_mm = 0.2, .weight_percent = 2};
  EXPECT_EQ(bounds_of(allowed("at_most = 2"), limits).highest, 2);
  EXPECT_EQ(bounds_of(allowed("at_most = 0.5\nat_most_of = 'mismatch'"), limits).highest, 0.2);
  EXPECT_EQ(bounds_of(allowed("at_least = 1"), limits).lowest, 1);
  EXPECT_EQ(bounds_of(allowed(""), limits).highest, std::nullopt);
  EXPECT_THAT(refusal_of(one_point + "at_most_of = 'gap'"), testing::HasSubstr("no at_most"));
  EXPECT_THAT(refusal_of(one_point + "at_most = 1\nat_least = 2"), testing::HasSubstr("below at_least"));
  EXPECT_THAT(refusal_of(with("\"count\"", "\"yes-no\"") + "at_most = 1"), testing::HasSubstr("no number"));
}

TEST(Checkpoints, AShopsOwnCatalogueIsRead) {
  const Catalogue catalogue = parse_catalogue(one_point, "own.toml");
  EXPECT_EQ(catalogue.version, 3);
  EXPECT_EQ(catalogue.inspect_again_after, std::chrono::days{7});
  EXPECT_EQ(catalogue.checkpoints.at(0).evidence, Evidence::count);
}

TEST(Checkpoints, AMistakeInTheCatalogueIsToldWithItsPlace) {
  EXPECT_THAT(refusal_of(with("version = 3", "version = \"three\"")), testing::HasSubstr("version"));
  EXPECT_THAT(refusal_of(with("how =", "howto =")), testing::HasSubstr("checkpoint[0].how"));
  EXPECT_THAT(refusal_of(one_point + "cautoin = \"x\"\n"), testing::HasSubstr("checkpoint[0].cautoin"));
  EXPECT_THAT(refusal_of(with("\"watch\"", "\"wach\"")),
              testing::HasSubstr("note, watch, hold, safety-hold"));
  EXPECT_THAT(refusal_of(with("[[checkpoint]]", "[checkpoint]")), testing::HasSubstr("[[checkpoint]]"));
  EXPECT_THAT(refusal_of(one_point + one_point.substr(one_point.find("[[checkpoint"))),
              testing::HasSubstr("stands twice"));
  EXPECT_THAT(refusal_of("version = = 3"), testing::HasSubstr("line 1"));
  EXPECT_THAT(refusal_of(""), testing::HasSubstr("version"));
}

}  // namespace
}  // namespace boxfettle
