#include "shop/sentence.hpp"

#include <gtest/gtest.h>

#include "shop/invented_requests.hpp"

namespace boxfettle {
namespace {

std::string told(EntryBody body) {
  return sentence({.seq = 1,
                   .at = {},
                   .who = "Asha",
                   .request = "request-1",
                   .box = "TM-0412",
                   .body = std::move(body),
                   .previous = {},
                   .hash = {}});
}

TEST(Sentence, SaysEachEntryInFloorWords) {
  EXPECT_EQ(told(volute_box()),
            "Registered as 'Pump volute core', cold-box, aluminium, makes Volute core V12, at home in Rack "
            "B, bay 3; its design "
            "is known.");
  EXPECT_EQ(told(Moved{{Place::Kind::tool_room, ""}}), "Moved to the tool-room.");
  EXPECT_EQ(told(Moved{{Place::Kind::station, "Station 2"}}), "Moved to the core station (Station 2).");
  EXPECT_EQ(told(Inspected{1, {{"vents", true, {}, "", ""}}}), "Inspected 1 checkpoint: all passed.");
  EXPECT_EQ(
      told(Inspected{1, {{"dowels", false, 0.12, "mm", "left pin loose"}, {"vents", true, {}, "", ""}}}),
      "Inspected 2 checkpoints: dowels failed (0.12 mm; left pin loose).");
  EXPECT_EQ(told(Held{"Handle came off.", true, "handles"}),
            "Safety hold: Handle came off. Must pass again first: handles.");
  EXPECT_EQ(told(Released{"cleaned", {3}}), "Released from 1 hold: cleaned.");
  EXPECT_EQ(told(NoteWritten{"two\nlines"}), "Note: two lines");
  EXPECT_EQ(told(ScanRead{.reading = "r1",
                          .file_name = "v.ply",
                          .of = ScanRead::Subject::core,
                          .scan = {},
                          .verdict = ScanRead::Verdict::hold,
                          .findings = {{"gap", "hold", "Open.", 0.31, 0.2}},
                          .mismatch_mm = 0.1,
                          .gap_mm = 0.31}),
            "Scan v.ply read: hold, 1 finding; mismatch 0.10 mm; gap 0.31 mm.");
  EXPECT_EQ(told(ScanRead{.reading = "r2",
                          .file_name = "w.ply",
                          .of = ScanRead::Subject::core,
                          .scan = {},
                          .verdict = ScanRead::Verdict::fit,
                          .findings = {},
                          .mismatch_mm = {},
                          .gap_mm = -0.003}),
            "Scan w.ply read: fit, no findings; gap 0.00 mm.");
  EXPECT_EQ(told(ScanRead{.reading = "r3",
                          .file_name = "tool.ply",
                          .of = ScanRead::Subject::half_lower,
                          .scan = {},
                          .verdict = ScanRead::Verdict::hold,
                          .findings = {{"dent", "hold", "Dent.", 0.3, 0.2}},
                          .mismatch_mm = {},
                          .gap_mm = {}}),
            "Scan of the lower half tool.ply read: hold, 1 finding.");
}

}  // namespace
}  // namespace boxfettle
