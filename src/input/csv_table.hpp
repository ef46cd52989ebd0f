// A table as spreadsheets and gauges export it: comma, semicolon or tab between fields; decimal point or
// comma; a byte-order mark or none; a header row.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

class CsvTable {
 public:
  // The separator is the one of tab, semicolon and comma that stands first in that order in the header.
  // Fields may be quoted ("" is one quote) within a line; empty lines are passed over; fields missing at a
  // line's end are empty. Throws InputError: no header, no column names, a line with more fields than the
  // header, a quote that never closes. `file` is used in messages.
  CsvTable(std::string_view text, std::string file);

  std::size_t rows() const { return rows_.size(); }
  const std::vector<std::string>& columns() const { return columns_; }

  // Where a column stands, by its name, letter case aside. Throws InputError naming those that are there.
  std::size_t column(std::string_view name) const;
  std::optional<std::size_t> column_if_there(std::string_view name) const;

  // Good as long as the table is.
  std::string_view text(std::size_t row, std::size_t column) const;
  // Empty where the field is. Throws InputError with the line where it is no finite number.
  std::optional<double> number(std::size_t row, std::size_t column) const;
  std::string place(std::size_t row) const { return "line " + std::to_string(rows_[row].line); }
  const std::string& file() const { return file_; }

 private:
  // Fields of all rows stand one after the other in `letters_`: a table takes its file's size, 16 bytes a row
  // and 8 a field.
  struct Row {
    std::size_t line;
    std::size_t first_field;
  };
  void add_row(std::size_t line, const std::vector<std::string>& fields);
  std::size_t field_end(std::size_t row) const {
    return row + 1 < rows_.size() ? rows_[row + 1].first_field : ends_.size();
  }

  std::string file_;
  char separator_ = ',';
  std::vector<std::string> columns_;
  std::vector<Row> rows_;
  std::string letters_;
  std::vector<std::size_t> ends_;  // of each field in `letters_`
};

}  // namespace boxfettle
