#include "shop/toml_table.hpp"

#include <sstream>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

std::string shown(double number) {
  std::ostringstream out;
  out << number;
  return out.str();
}

}  // namespace

toml::table parse_toml(std::string_view toml, const std::string& file) {
  try {
    return toml::parse(toml);
  } catch (const toml::parse_error& fault) {
    throw InputError(file, "line " + std::to_string(fault.source().begin.line),
                     std::string(fault.description()), "mend the TOML");
  }
}

void TomlTable::wrong(std::string_view key, const std::string& what, const std::string& mend) const {
  throw InputError(file_, place_ + std::string(key), what, mend);
}

const toml::node* TomlTable::find(std::string_view key) {
  asked_.insert(std::string(key));
  return table_->get(key);
}

std::string TomlTable::text(std::string_view key, bool needed) {
  const toml::node* node = find(key);
  if (node == nullptr) {
    if (needed) wrong(key, "is missing", "add it");
    return {};
  }
  const auto value = node->value_exact<std::string>();
  if (!value || (needed && value->empty())) wrong(key, "is not a text", "write it in quotes");
  return *value;
}

std::int64_t TomlTable::checked_whole(const toml::node& node, std::string_view key, std::int64_t low,
                                      std::int64_t high) const {
  const auto value = node.value_exact<std::int64_t>();
  if (!value || *value < low || *value > high)
    wrong(key, "is no whole number in range", "give " + std::to_string(low) + " to " + std::to_string(high));
  return *value;
}

std::int64_t TomlTable::whole_number(std::string_view key, std::int64_t low, std::int64_t high) {
  const toml::node* node = find(key);
  if (node == nullptr) wrong(key, "is missing", "add it");
  return checked_whole(*node, key, low, high);
}

std::int64_t TomlTable::whole_number_or(std::int64_t otherwise, std::string_view key, std::int64_t low,
                                        std::int64_t high) {
  const toml::node* node = find(key);
  return node == nullptr ? otherwise : checked_whole(*node, key, low, high);
}

double TomlTable::checked_number(const toml::node& node, std::string_view key, double low,
                                 double high) const {
  const auto value = node.value<double>();
  if (!node.is_number() || !value || !(*value >= low && *value <= high))
    wrong(key, "is no number in range", "give " + shown(low) + " to " + shown(high));
  return *value;
}

double TomlTable::number(std::string_view key, double low, double high) {
  const toml::node* node = find(key);
  if (node == nullptr) wrong(key, "is missing", "add it");
  return checked_number(*node, key, low, high);
}

bool TomlTable::flag_or(bool otherwise, std::string_view key) {
  const toml::node* node = find(key);
  if (node == nullptr) return otherwise;
  const auto value = node->value_exact<bool>();
  if (!value) wrong(key, "is neither true nor false", "write true or false");
  return *value;
}

const toml::array* TomlTable::find_list(std::string_view key) {
  const toml::node* node = find(key);
  if (node == nullptr) return nullptr;
  if (!node->is_array()) wrong(key, "is not a list", "write it in square brackets");
  return node->as_array();
}

std::vector<std::string> TomlTable::texts(std::string_view key) {
  std::vector<std::string> all;
  const toml::array* list = find_list(key);
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
    const auto value = list->get(i)->value_exact<std::string>();
    if (!value || value->empty()) wrong(key, "has something that is not a text", "write each in quotes");
    all.push_back(*value);
  }
  return all;
}

std::vector<std::int64_t> TomlTable::whole_numbers(std::string_view key, std::int64_t low,
                                                   std::int64_t high) {
  std::vector<std::int64_t> all;
  const toml::array* list = find_list(key);
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i)
    all.push_back(checked_whole(*list->get(i), key, low, high));
  return all;
}

std::vector<TomlTable> TomlTable::tables(std::string_view key) {
  const std::string header = "[[" + std::string(key) + "]]";
  const toml::node* node = find(key);
  const toml::array* list = node == nullptr ? nullptr : node->as_array();
  if (list == nullptr || list->empty()) wrong(key, "is missing", "add " + header + " tables");
  std::vector<TomlTable> all;
  for (std::size_t i = 0; i < list->size(); ++i) {
    const toml::table* table = list->get(i)->as_table();
    if (table == nullptr) wrong(key, "is not a list of tables", "write " + header);
    all.emplace_back(*table, file_, place_ + std::string(key) + "[" + std::to_string(i) + "].");
  }
  return all;
}

void TomlTable::expect_no_other_key() const {
  for (const auto& [key, value] : *table_)
    if (!asked_.contains(std::string(key.str())))
      wrong(key.str(), "is not known", "check the spelling or take it out");
}

}  // namespace boxfettle
