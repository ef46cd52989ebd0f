#include "corebox/box_table.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "input/input_error.hpp"
#include "input/nearest_name.hpp"

namespace boxfettle {
namespace {

// A hundred metres: beyond it a place is no place in a core box.
constexpr Range anywhere{-1e5, 1e5};

std::string shown(double value) {
  char digits[32];
  return {digits, std::to_chars(digits, digits + sizeof digits, value).ptr};
}

bool is_one_line(std::string_view text) {
  return std::none_of(text.begin(), text.end(),
                      [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; });
}

}  // namespace

BoxTable::BoxTable(const toml::table& table, std::string path, const std::string& file,
                   std::span<const std::string_view> known)
    : table_(&table), path_(std::move(path)), file_(&file) {
  for (const auto& [key, value] : table)
    if (std::find(known.begin(), known.end(), key.str()) == known.end())
      refuse(key.str(), "unknown key", name_hint(key.str(), known));
}

std::string BoxTable::full_name(std::string_view key) const {
  std::string name = path_;
  if (!name.empty() && !key.empty()) name += '.';
  return name += key.substr(0, 64);
}

std::string BoxTable::place(std::string_view key) const {
  const toml::node* const found = table_->get(key);
  const auto line = found != nullptr ? found->source().begin.line : table_->source().begin.line;
  return line > 0 ? "line " + std::to_string(line) + ", " + full_name(key) : full_name(key);
}

void BoxTable::refuse(std::string_view key, const std::string& what, const std::string& mend) const {
  throw InputError(*file_, place(key), what, mend);
}

void BoxTable::refuse_name(std::string_view key, const std::string& name,
                           std::span<const std::string_view> names) const {
  refuse(key, "'" + name.substr(0, 64) + "' is not known here", name_hint(name, names));
}

const toml::node& BoxTable::node(std::string_view key) const {
  const toml::node* const found = table_->get(key);
  if (found == nullptr) refuse(key, "is missing", "add it; docs/how/box-file.md shows every key");
  return *found;
}

double BoxTable::number_in(const toml::node& node, std::string_view key, Range range) const {
  const auto value = node.value<double>();
  if (!value || !node.is_number()) refuse(key, "is not a number", "write a number without a unit or quotes");
  if (!(*value >= range.low && *value <= range.high))
    refuse(key,
           (std::isfinite(*value) ? shown(*value) : "a number that is not finite") +
               std::string(" is out of range"),
           "give " + shown(range.low) + " to " + shown(range.high));
  return *value;
}

double BoxTable::number(std::string_view key, Range range) const {
  return number_in(node(key), key, range);
}

double BoxTable::number(std::string_view key, Range range, double otherwise) const {
  return has(key) ? number(key, range) : otherwise;
}

std::string BoxTable::text(std::string_view key) const {
  constexpr std::size_t longest = 200;
  const auto value = node(key).value<std::string>();
  if (!value || !node(key).is_string()) refuse(key, "is not text", "write it in quotes");
  if (value->empty()) refuse(key, "is empty", "write something between the quotes or leave the key out");
  if (value->size() > longest || !is_one_line(*value))
    refuse(key, "is longer than 200 letters or more than one line", "shorten it");
  return *value;
}

std::string BoxTable::text(std::string_view key, std::string_view otherwise) const {
  return has(key) ? text(key) : std::string(otherwise);
}

template <int N>
Eigen::Matrix<double, N, 1> BoxTable::numbers(std::string_view key) const {
  const toml::array* const list = node(key).as_array();
  if (list == nullptr || list->size() != N)
    refuse(key, "is not a list of " + std::to_string(N) + " numbers",
           N == 2   ? "write [x, y]"
           : N == 3 ? "write [x, y, z]"
                    : "write the nine, row by row");
  Eigen::Matrix<double, N, 1> numbers;
  for (int i = 0; i < N; ++i) numbers[i] = number_in((*list)[static_cast<std::size_t>(i)], key, anywhere);
  return numbers;
}

template Eigen::Vector2d BoxTable::numbers<2>(std::string_view) const;
template Eigen::Vector3d BoxTable::numbers<3>(std::string_view) const;
template Eigen::Matrix<double, 9, 1> BoxTable::numbers<9>(std::string_view) const;

std::optional<BoxTable> BoxTable::table(std::string_view key, std::span<const std::string_view> known) const {
  if (!has(key)) return std::nullopt;
  const toml::table* const found = node(key).as_table();
  if (found == nullptr) refuse(key, "is not a table", "write [" + full_name(key) + "] and its keys below");
  return BoxTable(*found, full_name(key), *file_, known);
}

std::vector<BoxTable> BoxTable::tables(std::string_view key, std::span<const std::string_view> known) const {
  std::vector<BoxTable> found;
  if (!has(key)) return found;
  const toml::array* const list = node(key).as_array();
  const std::string mend = "write [[" + full_name(key) + "]] above each one's keys";
  if (list == nullptr) refuse(key, "is not a list of tables", mend);
  for (const toml::node& item : *list) {
    if (!item.is_table()) refuse(key, "is not a list of tables", mend);
    found.emplace_back(*item.as_table(), full_name(key) + "[" + std::to_string(found.size() + 1) + "]",
                       *file_, known);
  }
  return found;
}

}  // namespace boxfettle
