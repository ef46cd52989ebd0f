#include "input/csv_table.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>

#include "input/input_error.hpp"
#include "input/nearest_name.hpp"

namespace boxfettle {
namespace {

std::string_view trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

std::string lower(std::string_view text) {
  std::string small(text);
  for (char& c : small) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return small;
}

char separator_of(std::string_view header) {
  for (const char one : {'\t', ';'})
    if (header.find(one) != std::string_view::npos) return one;
  return ',';
}

// The next line, taken off the front of `rest`, whatever it ends with.
std::string_view take_line(std::string_view& rest) {
  const std::size_t end = rest.find_first_of("\r\n");
  const std::string_view line = rest.substr(0, end);
  if (end == std::string_view::npos) {
    rest = {};
    return line;
  }
  const bool pair = rest[end] == '\r' && end + 1 < rest.size() && rest[end + 1] == '\n';
  rest.remove_prefix(end + (pair ? 2 : 1));
  return line;
}

// One field off the front of `line`; false when a quote never closes.
bool take_field(std::string_view& line, char separator, std::string& field) {
  field.clear();
  while (!line.empty() && line.front() == ' ') line.remove_prefix(1);
  if (line.empty() || line.front() != '"') {
    const std::size_t end = line.find(separator);
    field = trimmed(line.substr(0, end));
    line = end == std::string_view::npos ? std::string_view{} : line.substr(end);
    return true;
  }
  line.remove_prefix(1);
  for (;;) {
    const std::size_t quote = line.find('"');
    if (quote == std::string_view::npos) return false;
    field += line.substr(0, quote);
    line.remove_prefix(quote + 1);
    if (!line.starts_with('"')) break;
    field += '"';
    line.remove_prefix(1);
  }
  line = line.substr(std::min(line.find(separator), line.size()));
  return true;
}

std::vector<std::string> fields_of(std::string_view line, char separator, const std::string& file,
                                   std::size_t number) {
  std::vector<std::string> fields;
  for (bool more = true; more;) {
    std::string field;
    if (!take_field(line, separator, field))
      throw InputError(file, "line " + std::to_string(number), "a quote is opened and never closed",
                       "close it, or take the quotes away");
    fields.push_back(std::move(field));
    more = !line.empty();
    if (more) line.remove_prefix(1);
  }
  return fields;
}

}  // namespace

CsvTable::CsvTable(std::string_view text, std::string file) : file_(std::move(file)) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  letters_.reserve(text.size());
  for (std::size_t number = 1; !text.empty(); ++number) {
    const std::string_view line = take_line(text);
    if (trimmed(line).empty()) continue;
    if (columns_.empty()) {
      separator_ = separator_of(line);
      columns_ = fields_of(line, separator_, file_, number);
      continue;
    }
    add_row(number, fields_of(line, separator_, file_, number));
  }
  if (columns_.empty())
    throw InputError(file_, "", "holds no header row", "write the column names in its first line");
}

void CsvTable::add_row(std::size_t line, const std::vector<std::string>& fields) {
  if (fields.size() > columns_.size())
    throw InputError(
        file_, "line " + std::to_string(line),
        std::to_string(fields.size()) + " fields under " + std::to_string(columns_.size()) + " column names",
        "quote fields that hold the separator, or export with semicolons");
  rows_.push_back({line, ends_.size()});
  for (const std::string& field : fields) {
    letters_ += field;
    ends_.push_back(letters_.size());
  }
}

std::optional<std::size_t> CsvTable::column_if_there(std::string_view name) const {
  const auto found = std::find_if(columns_.begin(), columns_.end(),
                                  [&](const std::string& one) { return lower(one) == lower(name); });
  if (found == columns_.end()) return std::nullopt;
  return static_cast<std::size_t>(found - columns_.begin());
}

std::size_t CsvTable::column(std::string_view name) const {
  if (const auto found = column_if_there(name)) return *found;
  const std::vector<std::string_view> known(columns_.begin(), columns_.end());
  throw InputError(file_, "line 1", "column '" + std::string(name) + "' is missing", name_hint(name, known));
}

// Fields missing at a line's end are not stored: many short lines under a wide header would take memory out
// of proportion to the file.
std::string_view CsvTable::text(std::size_t row, std::size_t column) const {
  const std::size_t field = rows_[row].first_field + column;
  if (field >= field_end(row)) return {};
  const std::size_t begin = field == 0 ? 0 : ends_[field - 1];
  return std::string_view(letters_).substr(begin, ends_[field] - begin);
}

std::optional<double> CsvTable::number(std::size_t row, std::size_t column) const {
  std::string word(text(row, column));
  if (word.empty()) return std::nullopt;
  std::replace(word.begin(), word.end(), ',', '.');
  const char* const first = word.data() + (word.front() == '+' ? 1 : 0);
  const char* const end = word.data() + word.size();
  double value = 0;
  const auto [stopped, error] = std::from_chars(first, end, value);
  if (error != std::errc{} || stopped != end || !std::isfinite(value))
    throw InputError(file_, place(row),
                     "'" + std::string(text(row, column).substr(0, 24)) + "' under " + columns_[column] + " is no number",
                     "write it with a decimal point or comma and no thousands mark");
  return value;
}

}  // namespace boxfettle
