#include "input/csv_table.hpp"

#include <gmock/gmock.h>
#include <rapidcheck.h>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(CsvTable, ShotCountsReadTheSameWhateverTheSpreadsheetWroteThemWith) {
  for (const char* text :
       {"file,date,shots\na.ply,2026-01-05,1200.5\n", "file;date;shots\r\na.ply;2026-01-05;1200,5\r\n",
        "\xEF\xBB\xBF"
        "File\tDate\tSHOTS\na.ply\t2026-01-05\t1200,5",
        "\"file\",\"date\",\"shots\"\r\"a.ply\",2026-01-05,\"1200,5\"\r"}) {
    SCOPED_TRACE(text);
    const CsvTable table(text, "series.csv");
    ASSERT_EQ(table.rows(), 1u);
    EXPECT_EQ(table.text(0, table.column("file")), "a.ply");
    EXPECT_EQ(table.text(0, table.column("date")), "2026-01-05");
    EXPECT_EQ(table.number(0, table.column("shots")), 1200.5);
  }
}

TEST(CsvTable, AMissingColumnIsToldWithTheNearestName) {
  const CsvTable table("file,date,shot\n", "series.csv");
  EXPECT_THAT([&] { table.column("shots"); },
              ThrowsMessage<InputError>(
                  HasSubstr("series.csv: line 1: column 'shots' is missing; did you mean 'shot'?")));
  EXPECT_FALSE(table.column_if_there("depth"));
}

TEST(CsvTable, WhatIsNoNumberIsToldWithItsLine) {
  const CsvTable table("shots\n\n12\nmany\n1e999\n\n", "series.csv");
  ASSERT_EQ(table.rows(), 3u);
  EXPECT_EQ(table.number(0, 0), 12);
  EXPECT_THAT([&] { table.number(1, 0); },
              ThrowsMessage<InputError>(HasSubstr("line 4: 'many' under shots is no number")));
  EXPECT_THROW(table.number(2, 0), InputError);
}

TEST(CsvTable, AFieldMayHoldTheSeparatorInQuotesAndAQuoteTwice) {
  const CsvTable table("note,shots\n\"worn, \"\"badly\"\"\",5\n,\n", "series.csv");
  EXPECT_EQ(table.text(0, 0), "worn, \"badly\"");
  EXPECT_EQ(table.number(0, 1), 5);
  EXPECT_EQ(table.number(1, 1), std::nullopt);
}

TEST(CsvTable, ATornOrOverfullLineIsRefused) {
  EXPECT_THAT([] { CsvTable("a,b\n1,2,3\n", "t.csv"); },
              ThrowsMessage<InputError>(HasSubstr("t.csv: line 2: 3 fields under 2")));
  EXPECT_THAT([] { CsvTable("a\n\"open\n", "t.csv"); }, ThrowsMessage<InputError>(HasSubstr("never closed")));
  EXPECT_THROW(CsvTable("", "t.csv"), InputError);
  EXPECT_THROW(CsvTable("\n\r\n  \n", "t.csv"), InputError);
}

TEST(CsvTable, ShortLinesUnderAWideHeaderTakeNoMoreThanTheyHold) {
  // 20,000 columns and as many lines of one field: filled up, that would be 400 million fields.
  std::string text(19999, ',');
  text.insert(text.begin(), 'a');
  for (int line = 0; line < 20000; ++line) text += "\n1";
  const CsvTable table(text, "t.csv");
  EXPECT_EQ(table.rows(), 20000u);
  EXPECT_EQ(table.number(19999, 0), 1);
  EXPECT_EQ(table.number(19999, 19999), std::nullopt);
}

TEST(CsvTable, AnyTextIsReadOrRefused) {
  rc::check("any bytes", [](const std::string& text) {
    try {
      const CsvTable table(text, "t.csv");
      for (std::size_t row = 0; row < table.rows(); ++row)
        for (std::size_t column = 0; column < table.columns().size(); ++column) table.text(row, column);
    } catch (const InputError&) {  // a refusal is an answer
    }
  });
}

}  // namespace
}  // namespace boxfettle
