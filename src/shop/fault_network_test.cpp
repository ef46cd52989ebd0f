#include "shop/fault_network.hpp"

#include <gmock/gmock.h>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using testing::AllOf;
using testing::HasSubstr;

const std::string small = R"(version = 1
origin = "invented"
defect_speaks_days = 30
absence_speaks_hours = 2
[[defect]]
name = "fin"
leak = 0.02
[[check]]
checkpoint = "clamps"
called = "the clamps"
minutes = 3
pass_speaks_hours = 8
false_alarm = 0.03
[[fault]]
id = "clamps-weak"
title = "Clamps weak"
prior = 0.05
causes = [{ defect = "fin", strength = 0.6 }]
shown_by = [{ checkpoint = "clamps", strength = 0.8 }]
[[telling]]
reading = "fin"
finding = "fin"
)";

struct Told {
  std::string place, mend;
};

Told refusal_of(const std::string& toml) {
  try {
    parse_faults(toml, "faults.toml");
  } catch (const InputError& refused) {
    EXPECT_EQ(refused.file(), "faults.toml");
    return {refused.place(), refused.mend()};
  }
  return {"it was read", ""};
}

Told refusal_with(const std::string& was, const std::string& is) {
  std::string text = small;
  return refusal_of(text.replace(text.find(was), was.size(), is));
}

TEST(FaultNetwork, AShopsOwnIsRead) {
  const FaultNetwork network = parse_faults(small, "own.toml");
  EXPECT_EQ(network.findings.size(), 2u);
  EXPECT_EQ(network.findings[1].absence_speaks, std::chrono::hours(8));
  EXPECT_EQ(network.faults[0].links.size(), 2u);
  EXPECT_EQ(network.told_by(Telling::From::reading, "fin"), 0u);
  EXPECT_FALSE(network.told_by(Telling::From::calculation, "fin"));
}

TEST(FaultNetwork, AMistakeIsToldWithItsPlaceAndHowToMendIt) {
  struct Case {
    std::string was, is, place, mend;
  };
  const std::vector<Case> cases{
      {"version = 1", "version = 0", "version", "give 1 to 1000000"},
      {"origin = \"invented\"\n", "", "origin", "add it"},
      {"defect_speaks_days = 30", "defect_speaks_days = 0", "defect_speaks_days", "give 1 to 10000"},
      {"absence_speaks_hours = 2\n", "", "absence_speaks_hours", "add it"},
      {"\"fin\"\nleak", "\"fyn\"\nleak", "defect[0].name", "use one of mismatch, fin"},
      {"leak = 0.02", "leak = 1.5", "defect[0].leak", "give 0 to 1"},
      {"leak = 0.02", "leak = \"some\"", "defect[0].leak", ""},
      {"minutes = 3", "minutes = 0", "check[0].minutes", "give 0.1 to 1000"},
      {"pass_speaks_hours = 8\n", "", "check[0].pass_speaks_hours", "add it"},
      {"called = \"the clamps\"", "called = \"\"", "check[0].called", "write it in quotes"},
      {"prior = 0.05", "prior = -0.05", "fault[0].prior", "give 0 to 1"},
      {"prior = 0.05", "pryor = 0.05", "fault[0].prior", "add it"},
      {"title = \"Clamps weak\"", "title = \"Clamps weak\"\ncolour = 1", "fault[0].colour", ""},
      {"defect = \"fin\"", "defect = \"erosion\"", "fault[0].causes[0].defect",
       "name one that this file lists"},
      {"defect = \"fin\"", "defect = \"clamps\"", "fault[0].causes[0].defect",
       "name one that this file lists"},
      {"checkpoint = \"clamps\", ", "checkpoint = \"fin\", ", "fault[0].shown_by[0].checkpoint",
       "name one that this file lists"},
      {"strength = 0.6 }]", "strength = 0.6 }, { defect = \"fin\", strength = 0.1 }]",
       "fault[0].causes[1].strength", "link a fault to each finding once"},
      {"finding = \"fin\"", "finding = \"fine\"", "telling[0].finding", "name one that this file lists"},
      {"reading = \"fin\"", "scan = \"fin\"", "telling[0].calculation", "add it"},
      {"[[fault]]", "[fault]", "fault", "[[fault]]"},
  };
  for (const Case& wrong : cases) {
    const Told told = refusal_with(wrong.was, wrong.is);
    EXPECT_EQ(told.place, wrong.place) << wrong.is;
    EXPECT_THAT(told.mend, HasSubstr(wrong.mend)) << wrong.is;
    EXPECT_FALSE(told.mend.empty()) << wrong.is;
  }
}

TEST(FaultNetwork, ThingsNamedTwiceAreRefused) {
  const std::string fault =
      small.substr(small.find("[[fault]]"), small.find("[[telling]]") - small.find("[[fault]]"));
  EXPECT_EQ(refusal_of(small + fault).place, "fault[1].id");
  EXPECT_EQ(refusal_of(small + small.substr(small.find("[[defect]]"), 36)).place, "defect[1].name");
  EXPECT_EQ(refusal_of(small + small.substr(small.find("[[telling]]"))).place, "telling[1].reading");
}

TEST(FaultNetwork, AFindingThatNothingCanBringIsRefused) {
  const Told told = refusal_with("leak = 0.02\n", "leak = 0\n[[defect]]\nname = \"scratch\"\nleak = 0\n");
  EXPECT_EQ(told.place, "fault");
  EXPECT_THAT(told.mend, HasSubstr("leak"));
}

TEST(FaultNetwork, WhatIsNoTomlIsToldWithItsLine) {
  EXPECT_THAT(refusal_of("version = 1\norigin = = 2").place, HasSubstr("line 2"));
  EXPECT_EQ(refusal_of("").place, "version");
}

}  // namespace
}  // namespace boxfettle
