#include "corebox/box_file.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <array>
#include <filesystem>

#include "corebox/box_keys.hpp"
#include "input/input_error.hpp"
#include "input/whole_file.hpp"

namespace boxfettle {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

const std::string head = "[box]\nid = \"TM-0412\"\n[parting]\npoint_mm = [0, 0, 0]\nnormal = [0, 0, 1]\n";

CoreBox parsed(const std::string& more) {
  return parse_box_file(head + more, "box.toml");
}

void expect_text_refused(std::string_view text, const std::string& place, const std::string& what) {
  EXPECT_THAT([&] { parse_box_file(text, "box.toml"); },
              ThrowsMessage<InputError>(AllOf(HasSubstr("box.toml: "), HasSubstr(place), HasSubstr(what))));
}

void expect_refused(const std::string& more, const std::string& place, const std::string& what) {
  expect_text_refused(head + more, place, what);
}

std::string page() {
  const WholeFile file(std::filesystem::path(BOXFETTLE_SOURCE_DIR) / "docs/how/box-file.md");
  return std::string(file.text());
}

TEST(BoxFile, TheExampleInTheGuideIsReadAsItSays) {
  const std::string text = page();
  const std::size_t start = text.find("```toml\n") + 8;
  const CoreBox box =
      parse_box_file(std::string_view(text).substr(start, text.find("```\n", start) - start), "page");
  EXPECT_EQ(box.id, "TM-0412");
  EXPECT_EQ(box.process, Process::cold_box);
  EXPECT_EQ(box.design_file, "volute.stl");
  ASSERT_EQ(box.dowels.size(), 2u);
  EXPECT_EQ(box.dowels[1].kind, Dowel::Bush::slot);
  EXPECT_EQ(box.dowels[1].slot_length_mm, 20.0);
  EXPECT_EQ(box.dowels[1].bush_at_parting_mm, Eigen::Vector2d(140.02, 0.01));
  EXPECT_EQ(box.gap_readings.at(0).unclamped_mm, 0.30);
  EXPECT_EQ(box.clamps.at(0).torque_Nm, 60);
  EXPECT_EQ(box.clamps.at(1).force_N, 8000);
  EXPECT_EQ(box.vents.at(0).at_design_mm, Eigen::Vector3d(10, 20, 40));
  EXPECT_EQ(box.blow_inlets.at(0).diameter_mm, 14);
  EXPECT_EQ(box.sand.permeability_number, std::nullopt);
  EXPECT_EQ(box.loose_pieces.at(0).region_max_mm, Eigen::Vector3d(60, 30, 25));
  EXPECT_EQ(parse_box_file(write_box_file(box), "again"), box);
}

TEST(BoxFile, TheGuideExplainsEveryKey) {
  const std::string text = page();
  const auto explained = [&](const auto& keys) {
    for (const std::string_view key : keys) EXPECT_THAT(text, HasSubstr("| `" + std::string(key) + "` |"));
  };
  explained(box_keys::box);
  explained(box_keys::parting);
  explained(box_keys::limits);
  explained(box_keys::dowel);
  explained(box_keys::watch_point);
  explained(box_keys::gap_reading);
  explained(box_keys::clamp);
  explained(box_keys::vent);
  explained(box_keys::blow);
  explained(box_keys::air);
  explained(box_keys::sand);
  explained(box_keys::loose_piece);
}

TEST(BoxFile, TwoTablesAreEnoughAndTheRestHasItsDefaults) {
  const CoreBox box = parsed("");
  EXPECT_EQ(box.limits, Limits{});
  EXPECT_EQ(box.air, Air{});
  EXPECT_EQ(box.sand, Sand{});
  EXPECT_EQ(box.design_unit, LengthUnit::mm);
}

TEST(BoxFile, ACastingGradeStandsInForTheSurfaceLimit) {
  EXPECT_EQ(parsed("[limits]\ncasting_grade = \"DCTG 9\"\n").limits.casting_grade, "DCTG 9");
  EXPECT_EQ(parsed("[limits]\ncasting_grade = \"DCTG16\"\n").limits.casting_grade, "DCTG 16");
  for (const char* grade : {"DCTG 0", "DCTG 17", "CT 9", "DCTG", "DCTG  9", "DCTG 9a", "DCTG -9"})
    expect_refused("[limits]\ncasting_grade = \"" + std::string(grade) + "\"\n",
                   "line 7, limits.casting_grade", "is not a casting grade");
  expect_refused("[limits]\nsurface_mm = 0.3\ncasting_grade = \"DCTG 9\"\n", "line 8, limits.casting_grade",
                 "stands beside surface_mm");
}

TEST(BoxFile, AMisspeltKeyIsRefusedWithTheOneThatWasMeant) {
  expect_refused("[limits]\nmissmatch_mm = 0.1\n", "line 7, limits.missmatch_mm",
                 "did you mean 'mismatch_mm'?");
  expect_refused("[[dowels]]\nid = \"D1\"\n", "line 6, dowels", "did you mean 'dowel'?");
  expect_refused("[[dowel]]\nid = \"D1\"\nat_mm = [0, 0]\npim_mm = 12\nbush_mm = 12\n",
                 "line 9, dowel[1].pim_mm", "did you mean 'pin_mm'?");
  expect_refused("[sand]\ncolour = 1\n", "sand.colour", "known here: grain_fineness, ");
}

TEST(BoxFile, AMissingKeyIsNamedWithItsTable) {
  expect_text_refused("[parting]\npoint_mm = [0,0,0]\nnormal = [0,0,1]\n", "box", "is missing");
  expect_text_refused("[box]\nid = \"a\"\n", "parting", "is missing");
  expect_text_refused("[box]\nname = \"a\"\n", "box.id", "is missing");
  expect_refused("[[dowel]]\nid = \"D1\"\nat_mm = [0, 0]\nbush_mm = 12\n", "dowel[1].pin_mm", "is missing");
  expect_refused(
      "[[clamp]]\nid = \"C1\"\nat_mm = [0, 0]\nkind = \"bolt\"\nthread = \"M12\"\nclass = \"8.8\"\n",
      "clamp[1].torque_Nm", "is missing");
  expect_refused("[[clamp]]\nid = \"C1\"\nat_mm = [0, 0]\nkind = \"toggle\"\n", "clamp[1].force_N",
                 "is missing");
}

TEST(BoxFile, WrongTypesAreRefused) {
  expect_refused("[air]\nblow_bar = \"3 bar\"\n", "line 7, air.blow_bar", "is not a number");
  expect_refused("[air]\nblow_bar = true\n", "line 7, air.blow_bar", "is not a number");
  expect_refused("[[watch_point]]\nid = 7\nat_mm = [0, 0]\n", "line 7, watch_point[1].id", "is not text");
  expect_refused("[[watch_point]]\nid = \"W1\"\nat_mm = [0, 0, 0]\n", "watch_point[1].at_mm",
                 "not a list of 2 numbers");
  expect_refused("[[watch_point]]\nid = \"W1\"\nat_mm = [0, \"0\"]\n", "watch_point[1].at_mm",
                 "is not a number");
  expect_refused("[dowel]\nid = \"D1\"\n", "dowel", "is not a list of tables");
  expect_refused("dowel = [1, 2]\n", "dowel", "unknown key");  // it stands in [parting]
  expect_text_refused("dowel = [1, 2]\n" + head, "dowel", "is not a list of tables");
  expect_text_refused("limits = 3\n" + head, "limits", "is not a table");
}

TEST(BoxFile, NumbersOutsideTheirRangeOrNotFiniteAreRefused) {
  for (const char* value : {"0", "-0.1", "51", "nan", "inf", "-inf"})
    expect_refused("[limits]\nmismatch_mm = " + std::string(value) + "\n", "line 7, limits.mismatch_mm",
                   "is out of range; give 0.001 to 50");
  expect_refused("[[vent]]\nid = \"V1\"\nat_mm = [0, 0, 0]\ndiameter_mm = 10\nplugged = 1.01\n",
                 "vent[1].plugged", "give 0 to 1");
  expect_refused("[[watch_point]]\nid = \"W1\"\nat_mm = [0, 1e6]\n", "watch_point[1].at_mm",
                 "give -1e+05 to 1e+05");
  expect_text_refused("[box]\nid = \"a\"\n[parting]\npoint_mm = [0,0,0]\nnormal = [0,0,0]\n",
                      "parting.normal", "has no length");
}

TEST(BoxFile, TwoPinsOnOneSpotAreRefused) {
  const std::string first = "[[dowel]]\nid = \"D1\"\nat_mm = [40, 0]\npin_mm = 12\nbush_mm = 12.05\n";
  const std::string second = "[[dowel]]\nid = \"D2\"\nat_mm = [40.4, 0]\npin_mm = 12\nbush_mm = 12.05\n";
  expect_refused(first + second, "dowel[2].at_mm", "is the same spot as dowel 'D1'");
}

TEST(BoxFile, APinLargerThanItsBushIsRefusedAndAPinThatJustFitsIsNot) {
  const std::string dowel = "[[dowel]]\nid = \"D1\"\nat_mm = [0, 0]\nbush_mm = 12\n";
  expect_refused(dowel + "pin_mm = 12.001\n", "line 10, dowel[1].pin_mm", "is larger than bush_mm");
  EXPECT_EQ(parsed(dowel + "pin_mm = 12\n").dowels.at(0).pin_mm, 12);
}

TEST(BoxFile, ASlotNeedsADirectionAndALengthThatHoldsThePin) {
  const std::string slot =
      "[[dowel]]\nid = \"D1\"\nat_mm = [0, 0]\nbush_mm = 12\npin_mm = 12\nkind = \"slot\"\n";
  expect_refused(slot + "slot_axis = [0, 0]\n", "dowel[1].slot_axis", "has no length");
  expect_refused(slot + "slot_length_mm = 11\n", "dowel[1].slot_length_mm",
                 "is shorter than the slot is wide");
  EXPECT_EQ(parsed(slot + "slot_axis = [0, -5]\n").dowels.at(0).slot_axis, Eigen::Vector2d(0, -1));
}

TEST(BoxFile, TwoPartsOfAKindMayNotShareAnIdButADowelAndAVentMay) {
  const std::string point = "[[watch_point]]\nid = \"1\"\nat_mm = [0, 0]\n";
  expect_refused(point + point, "line 10, watch_point[2].id", "'1' is taken by another watch_point");
  EXPECT_EQ(parsed(point + "[[blow]]\nid = \"1\"\nat_mm = [0, 0, 0]\ndiameter_mm = 9\n").blow_inlets.size(),
            1u);
}

TEST(BoxFile, NamesOutsideTheirSetAreRefusedWithTheNearest) {
  expect_text_refused("[box]\nid = \"a\"\nprocess = \"coldbox\"\n", "line 3, box.process",
                      "did you mean 'cold-box'?");
  expect_text_refused("[box]\nid = \"a\"\ndesign_unit = \"yard\"\n", "line 3, box.design_unit",
                      "'yard' is not known here");
  const std::string bolt = "[[clamp]]\nid = \"C1\"\nat_mm = [0, 0]\nkind = \"bolt\"\ntorque_Nm = 60\n";
  expect_refused(bolt + "thread = \"W12\"\nclass = \"8.8\"\n", "clamp[1].thread", "is not a metric thread");
  expect_refused(bolt + "thread = \"M12\"\nclass = \"8,8\"\n", "clamp[1].class", "did you mean '8.8'?");
}

TEST(BoxFile, ALoosePieceInsideOutIsRefused) {
  expect_refused("[[loose_piece]]\nid = \"LP1\"\nregion_min_mm = [0, 0, 0]\nregion_max_mm = [9, 0, 9]\n",
                 "loose_piece[1].region_max_mm", "is not above region_min_mm");
}

TEST(BoxFile, TextThatIsNotTomlIsRefusedWithItsLine) {
  expect_text_refused("[box]\nid = \n", "line 2", "");
  expect_text_refused("[box]\nid = \"a\"\nid = \"b\"\n", "line 3", "");
  expect_text_refused("[box]\nid = \"\xff\"\n", "line 2", "");
  expect_text_refused(std::string_view("[box]\nid = \"a\0b\"\n", 17), "line 2", "");
}

TEST(BoxFile, HostileNestingIsRefusedAndDoesNotUseUpTheStack) {
  const std::size_t deep = 100000;
  expect_text_refused("a = " + std::string(deep, '['), "line 1", "");
  std::string tables;
  std::string dotted;
  for (std::size_t i = 0; i < deep; ++i) tables += "{a=", dotted += "a.";
  expect_text_refused("a = " + tables, "line 1", "");
  expect_text_refused(dotted + "a = 1\n", "line 1", "more than 64 dots");
  // The deepest that both limits let through: it must come apart again without harm.
  std::string lists = "a = ";
  for (int i = 0; i < 100; ++i) lists += "[\n{" + dotted.substr(0, 128) + "a = ";
  expect_text_refused(lists + "1", "line", "");
  for (int i = 0; i < 100; ++i) lists += i == 0 ? "1}]" : "}]";
  expect_text_refused(lists, "a", "unknown key");
}

TEST(BoxFile, AFileOfMegabytesIsNoBoxFile) {
  expect_text_refused(head + std::string(1 << 20, '#'), "", "is larger than 1 MB");
}

// Boxes with every kind of part, numbers with many digits, and text that needs escaping.
CoreBox arbitrary_box() {
  const auto between = [](double low, double high) {
    return low + (high - low) * (*rc::gen::inRange(0, 1000001) / 1000000.0);
  };
  const auto pair = [&] { return Eigen::Vector2d(between(-900, 900), between(-900, 900)); };
  const auto triple = [&] {
    return Eigen::Vector3d(between(-900, 900), between(-900, 900), between(-900, 900));
  };
  const auto letters = rc::gen::nonEmpty(
      rc::gen::container<std::string>(rc::gen::element('a', '9', '"', '\\', '#', ' ', '\'', '[', '=')));
  CoreBox box;
  box.id = *letters;
  box.name = *letters;
  box.process = static_cast<Process>(*rc::gen::inRange(0, 5));
  box.material = static_cast<BoxMaterial>(*rc::gen::inRange(0, 6));
  box.design_file = *letters;
  box.design_unit = static_cast<LengthUnit>(*rc::gen::inRange(0, 4));
  box.parting = PartingFace::through(triple(), triple() + Eigen::Vector3d(0, 0, 1000));
  if (*rc::gen::arbitrary<bool>())
    box.limits.casting_grade = "DCTG " + std::to_string(*rc::gen::inRange(1, 17));
  else
    box.limits.surface_mm = between(0.01, 1);
  box.air.blow_bar = between(1, 6);
  AirLines& lines = box.air.lines;
  for (std::optional<double>* line :
       {&lines.reached_last, &lines.slower_at_most, &lines.unpurged_at_most, &lines.watch_plugged,
        &lines.leak_at_most, &lines.watch_fill_slower, &lines.hold_fill_slower})
    if (*rc::gen::arbitrary<bool>()) *line = between(1, 50);
  if (*rc::gen::arbitrary<bool>()) box.sand.permeability_number = between(1, 500);
  for (int i = *rc::gen::inRange(0, 4); i > 0; --i) {
    const std::string id = *letters + std::to_string(i);
    const double pin_mm = between(6, 20);
    Dowel dowel{.id = id, .at_parting_mm = pair(), .pin_mm = pin_mm, .bush_mm = pin_mm + between(0, 0.5)};
    if (*rc::gen::arbitrary<bool>()) {
      dowel.kind = Dowel::Bush::slot;
      dowel.slot_axis = Eigen::Vector2d(1, between(-9, 9)).normalized();
      dowel.slot_length_mm = between(30, 60);
      dowel.bush_at_parting_mm = pair();
    }
    box.dowels.push_back(dowel);
    box.watch_points.push_back({id, pair()});
    box.gap_readings.push_back({pair(), between(0, 1), std::nullopt});
    box.gap_readings.push_back({pair(), between(0, 1), between(0, 1)});
    box.clamps.push_back({id, pair(), Clamp::Kind::bolt, "M12x1.25", "10.9", between(1, 200), 0});
    box.clamps.push_back({id + "t", pair(), Clamp::Kind::toggle, "", "", 0, between(1, 9000)});
    box.vents.push_back({id, triple(), between(1, 20), between(0.1, 1), between(0, 1), Half::lower});
    box.blow_inlets.push_back({id, triple(), between(1, 20)});
    const Eigen::Vector3d corner = triple();
    box.loose_pieces.push_back({id, *letters, corner, corner + Eigen::Vector3d(1, between(1, 9), 3)});
  }
  return box;
}

RC_GTEST_PROP(BoxFile, ABoxWrittenDownAndReadBackIsTheSameToTheBit, ()) {
  const CoreBox box = arbitrary_box();
  const std::string text = write_box_file(box);
  RC_ASSERT(parse_box_file(text, "box.toml") == box);
}

RC_GTEST_PROP(BoxFile, FlippedBytesAreReadOrRefusedButNeverCrash, ()) {
  std::string text = write_box_file(arbitrary_box());
  for (int i = *rc::gen::inRange(1, 6); i > 0; --i)
    text[*rc::gen::inRange<std::size_t>(0, text.size())] = *rc::gen::arbitrary<char>();
  try {
    const CoreBox box = parse_box_file(text, "box.toml");
    for (const Dowel& dowel : box.dowels) RC_ASSERT(dowel.pin_mm <= dowel.bush_mm);
  } catch (const InputError& refused) {
    RC_ASSERT(!refused.mend().empty());
  }
}

}  // namespace
}  // namespace boxfettle
