#include "shop/canonical_text.hpp"

#include <gmock/gmock.h>

#include <limits>

#include "input/input_error.hpp"
#include "shop/invented_requests.hpp"
#include "shop/logbook.hpp"

namespace boxfettle {
namespace {

Entry entry_with(EntryBody body) {
  return {.seq = 12,
          .at = {1'795'601'807'123},
          .who = "Asha",
          .request = "req-00000001",
          .box = "TM-0412",
          .body = std::move(body),
          .previous = {},
          .hash = {}};
}

TEST(CanonicalText, IsSortedAndLeavesOutWhatIsAbsent) {
  EXPECT_EQ(
      canonical_text(entry_with(
          Inspected{1, {{"dowels", false, 0.12, "mm", "left pin loose"}, {"vents", true, {}, "", ""}}})),
      R"({"at":"2026-11-25T10:16:47.123Z","body":{"catalogue":1,"results":[)"
      R"({"checkpoint":"dowels","measured":0.12,"passed":false,"remark":"left pin loose","unit":"mm"},)"
      R"({"checkpoint":"vents","passed":true}]},"box":"TM-0412","kind":"inspected","request":"req-00000001",)"
      R"("seq":12,"who":"Asha"})");
}

TEST(CanonicalText, TheChainHashIsWhatASha256ToolSaysOfTheTwoTexts) {
  // printf '%064d%s' 0 '{"seq":1}' | sha256sum
  EXPECT_EQ(chain_hash({}, R"({"seq":1})").hex(),
            "0a00898550374c41186879d92f30325cd0a550ce8c5da4d9aeef34a95c0b85ea");
}

TEST(CanonicalText, EveryBodyReadsBackAsItWasWritten) {
  EXPECT_TRUE(rc::check([] {
    const Request request = any_request("request-1");
    BoxState state;
    state.box = request.box;
    if (!std::holds_alternative<RegisterBox>(request.what)) state.registered = volute_box();
    state.holds.push_back({{"dirty", false, ""}, 3, {}, "Asha"});
    const auto answer = decide(state, request, {"Asha", Role::tooling}, shipped_catalogue(), Standing{});
    if (const auto* bodies = std::get_if<std::vector<EntryBody>>(&answer))
      for (const EntryBody& body : *bodies)
        RC_ASSERT(entry_from_text(canonical_text(entry_with(body))) == entry_with(body));
  }));
}

TEST(CanonicalText, AnyTextIsReadOrRefusedAndNeverCrashes) {
  const std::string good = canonical_text(entry_with(Held{"loose handle", true, "handles"}));
  EXPECT_TRUE(rc::check([&] {
    std::string text = good;
    const auto edits = *rc::gen::inRange(1, 4);
    for (int i = 0; i < edits; ++i) {
      const auto at = *rc::gen::inRange<std::size_t>(0, text.size());
      text[at] = static_cast<char>(*rc::gen::inRange(0, 256));
    }
    try {
      RC_ASSERT(canonical_text(entry_from_text(text)) == text);
    } catch (const InputError&) {
    }
  }));
}

TEST(CanonicalText, OtherSpellingsOfTheSameEntryAreRefused) {
  const std::string good = canonical_text(entry_with(NoteWritten{"rattles"}));
  EXPECT_NO_THROW(entry_from_text(good));
  for (const std::string& text :
       {good + " ", "{\"zz\":1," + good.substr(1), std::string("[]"), std::string("{}"), std::string("")})
    EXPECT_THROW(entry_from_text(text), InputError) << text;
}

TEST(CanonicalText, WhatMayNotBeWrittenIsRefusedWithItsField) {
  const auto refused_field = [](EntryBody body) {
    try {
      canonical_text(entry_with(std::move(body)));
    } catch (const InputError& refused) {
      return refused.place();
    }
    return std::string("written");
  };
  EXPECT_EQ(refused_field(NoteWritten{""}), "text");
  EXPECT_EQ(refused_field(NoteWritten{"bell \a"}), "text");
  EXPECT_EQ(refused_field(NoteWritten{"half a letter \xC3"}), "text");
  EXPECT_EQ(refused_field(NoteWritten{std::string(4001, 'x')}), "text");
  EXPECT_EQ(refused_field(Inspected{1, {}}), "results");
  EXPECT_EQ(refused_field(Inspected{1, {{"vents", true, {}, "", ""}, {"vents", false, {}, "", ""}}}),
            "results[1].checkpoint");
  EXPECT_EQ(
      refused_field(Inspected{1, {{"dowels", true, std::numeric_limits<double>::quiet_NaN(), "mm", ""}}}),
      "results[0].measured");
  EXPECT_EQ(refused_field(Held{"loose handle", true, ""}), "checkpoint");
  EXPECT_EQ(refused_field(Released{"mended", {}}), "holds");
}

}  // namespace
}  // namespace boxfettle
