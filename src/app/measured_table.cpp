#include "app/measured_table.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "input/whole_file.hpp"

namespace boxfettle {
namespace {

// Larger numbers overflow when they are squared and summed; no core, gauge or counter shows them.
constexpr double beyond_all_measures = 1e30;

CsvTable table_in(const std::string& path) {
  const WholeFile file(path);
  return CsvTable(file.text(), path);
}

}  // namespace

MeasuredTable::MeasuredTable(const std::string& path) : table_(table_in(path)) {}

std::optional<std::size_t> MeasuredTable::column_if_there(
    const std::optional<std::string>& asked, std::initializer_list<std::string_view> usual) const {
  if (asked) return table_.column(*asked);
  for (const std::string_view name : usual)
    if (const auto found = table_.column_if_there(name)) return found;
  return std::nullopt;
}

std::size_t MeasuredTable::column(const std::optional<std::string>& asked,
                                  std::initializer_list<std::string_view> usual,
                                  std::string_view option) const {
  if (const auto found = column_if_there(asked, usual)) return *found;
  std::string there;
  for (const std::string& name : table_.columns()) there += (there.empty() ? "" : ", ") + name;
  throw InputError(path(), "line 1", "column '" + std::string(*usual.begin()) + "' is missing",
                   "name the column with " + std::string(option) + "; there are: " + there.substr(0, 200));
}

bool MeasuredTable::mostly_numbers(std::size_t column) const {
  std::size_t numbers = 0, filled = 0;
  for (std::size_t row = 0; row < std::min<std::size_t>(rows(), 1000); ++row) {
    const std::string_view word = table_.text(row, column);
    if (word.empty()) continue;
    ++filled;
    double value = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    numbers += error == std::errc{} && (end == word.data() + word.size() || *end == ',');
  }
  return filled > 0 && 2 * numbers > filled;
}

std::size_t MeasuredTable::measured_column(const std::optional<std::string>& asked,
                                           const std::vector<std::size_t>& others) const {
  if (const auto found = column_if_there(asked, {"value"})) return *found;
  std::vector<std::size_t> candidates;
  for (std::size_t i = 0; i < table_.columns().size(); ++i)
    if (std::ranges::find(others, i) == others.end() && mostly_numbers(i)) candidates.push_back(i);
  if (candidates.size() == 1) return candidates.front();
  std::string names;
  for (const std::size_t one : candidates) names += (names.empty() ? "" : ", ") + column_name(one);
  throw InputError(path(), "line 1",
                   candidates.empty() ? "no column holds numbers" : "several columns hold numbers",
                   candidates.empty() ? "name the one that was measured with --column"
                                      : "say which with --column: " + names.substr(0, 200));
}

std::optional<double> MeasuredTable::number(std::size_t row, std::size_t column) const {
  const std::optional<double> value = table_.number(row, column);
  if (value && std::abs(*value) > beyond_all_measures)
    throw fault(row, "'" + text(row, column).substr(0, 24) + "' is beyond all measures", "mend the number");
  return value;
}

std::string MeasuredTable::text(std::size_t row, std::size_t column) const {
  std::string text(table_.text(row, column));
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = '?';
  return text;
}

InputError MeasuredTable::fault(std::size_t row, const std::string& what, const std::string& mend) const {
  return {path(), table_.place(row), what, mend};
}

}  // namespace boxfettle
