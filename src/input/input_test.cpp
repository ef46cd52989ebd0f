#include <gmock/gmock.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

#include "input/calendar_date.hpp"
#include "input/file_bytes.hpp"
#include "input/input_error.hpp"
#include "input/nearest_name.hpp"
#include "input/replace_file.hpp"
#include "input/whole_file.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 3> dowel_keys{"pin_mm", "bush_mm", "slot_axis"};

TEST(NearestName, AMisspeltKeyOfADowelIsRecognised) {
  EXPECT_EQ(nearest_name("pim_mm", dowel_keys), "pin_mm");
  EXPECT_EQ(nearest_name("slot_axes", dowel_keys), "slot_axis");
  EXPECT_EQ(nearest_name("pin", dowel_keys), "pin_mm");  // its unit left off
  EXPECT_EQ(nearest_name("bush", dowel_keys), "bush_mm");
}

TEST(NearestName, AWordThatIsNoKeyOfADowelGetsTheListInstead) {
  EXPECT_EQ(nearest_name("temperature_C", dowel_keys), "");
  EXPECT_EQ(name_hint("temperature_C", dowel_keys), "known here: pin_mm, bush_mm, slot_axis");
}

class AFolderOfBoxes : public testing::Test {
 protected:
  AFolderOfBoxes() : folder_(fs::temp_directory_path() / ("boxfettle_input_" + std::to_string(::getpid()))) {
    fs::create_directories(folder_);
  }
  ~AFolderOfBoxes() override { fs::remove_all(folder_); }

  static void write(const fs::path& path, std::string_view text) {
    replace_file(path, std::as_bytes(std::span(text.data(), text.size())));
  }
  std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder_), fs::directory_iterator()));
  }

  fs::path folder_;
};

TEST_F(AFolderOfBoxes, ABoxFileWrittenTwiceHoldsTheSecondTextAndNothingElseIsLeft) {
  write(folder_ / "box.toml", "the first and longer text");
  write(folder_ / "box.toml", "the second");
  EXPECT_EQ(WholeFile(folder_ / "box.toml").text(), "the second");
  EXPECT_EQ(files(), 1u);
}

TEST_F(AFolderOfBoxes, ABoxFileThatCannotBePutInPlaceLeavesNothingBehind) {
  fs::create_directories(folder_ / "box.toml" / "in the way");
  EXPECT_THROW(write(folder_ / "box.toml", "text"), InputError);
  EXPECT_THROW(write(folder_ / "no such folder" / "box.toml", "text"), InputError);
  EXPECT_EQ(files(), 1u);
}

TEST_F(AFolderOfBoxes, AnEmptyScanOrAFolderIsRefusedByName) {
  std::ofstream(folder_ / "empty.stl");
  EXPECT_THAT([&] { WholeFile(folder_ / "empty.stl"); },
              testing::ThrowsMessage<InputError>(testing::HasSubstr("empty.stl: the file is empty")));
  EXPECT_THROW(WholeFile{folder_}, InputError);
  EXPECT_THROW(WholeFile(folder_ / "missing.stl"), InputError);
}

TEST_F(AFolderOfBoxes, AScanTakenInStretchesIsTheScanTakenWhole) {
  std::string text;
  for (int i = 0; i < 5000; ++i) text += std::to_string(i * i) + "\n";
  write(folder_ / "scan.xyz", text);
  const FileBytes file(folder_ / "scan.xyz");
  ASSERT_EQ(file.size(), text.size());
  FileBytes::Room room;
  std::string joined;
  for (std::size_t at = 0, length = 1; at < file.size(); at += length, length = length * 3 % 1009) {
    length = std::min(length, file.size() - at);
    joined += as_text(file.stretch(at, length, room));
  }
  EXPECT_EQ(joined, text);
  EXPECT_EQ(as_text(file.whole(room)), text);
}

TEST_F(AFolderOfBoxes, AScanCutShortWhileItIsReadIsRefusedWithThePlace) {
  write(folder_ / "scan.xyz", std::string(1000, '1'));
  const FileBytes file(folder_ / "scan.xyz");
  fs::resize_file(folder_ / "scan.xyz", 400);
  FileBytes::Room room;
  EXPECT_EQ(file.stretch(0, 400, room).size(), 400u);
  EXPECT_THAT(
      [&] { file.stretch(300, 200, room); },
      testing::ThrowsMessage<InputError>(testing::AllOf(
          testing::HasSubstr("scan.xyz"), testing::HasSubstr("byte 400"), testing::HasSubstr("cut short"))));
}

TEST(CalendarDate, AScansDayIsFoundInItsFileName) {
  EXPECT_EQ(date_in_name("TM-0412-2026-03-14.ply"), "2026-03-14");
  EXPECT_EQ(date_in_name("TM-0412_20260314_b.ply"), "2026-03-14");
  EXPECT_EQ(date_in_name("20240229"), "2024-02-29");
  EXPECT_EQ(date_in_name("scan 99999999 of 2025-12-31"), "2025-12-31");
}

TEST(CalendarDate, WhatIsNoDayOfTheCalendarIsNoDate) {
  for (const char* name : {"TM-0412.ply", "2026-02-30.ply", "2026-13-01", "120260314", "202603140",
                           "2026-3-14", "0000-01-01", "", "2026-03-1", "20250229"})
    EXPECT_EQ(date_in_name(name), std::nullopt) << name;
  EXPECT_FALSE(is_calendar_date("2026-03-14 "));
  EXPECT_FALSE(is_calendar_date("2026/03/14"));
}

}  // namespace
}  // namespace boxfettle
