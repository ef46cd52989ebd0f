// One table of a TOML file, asked key by key; what was never asked for is a misspelling. Every question
// throws InputError naming the key: missing, of the wrong type, out of range, not one of its words.
#pragma once

#include <toml++/toml.h>

#include <array>
#include <cstdint>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

toml::table parse_toml(std::string_view toml, const std::string& file);  // throws InputError naming the line

class TomlTable {
 public:
  TomlTable(const toml::table& table, std::string file, std::string place)
      : table_(&table), file_(std::move(file)), place_(std::move(place)) {}

  [[noreturn]] void wrong(std::string_view key, const std::string& what, const std::string& mend) const;

  std::string text(std::string_view key, bool needed = true);  // not empty, unless it is not needed
  std::int64_t whole_number(std::string_view key, std::int64_t low, std::int64_t high);
  std::int64_t whole_number_or(std::int64_t otherwise, std::string_view key, std::int64_t low,
                               std::int64_t high);
  double number(std::string_view key, double low, double high);
  bool flag_or(bool otherwise, std::string_view key);
  std::vector<std::string> texts(std::string_view key);  // none when the key is absent
  std::vector<std::int64_t> whole_numbers(std::string_view key, std::int64_t low, std::int64_t high);
  std::vector<TomlTable> tables(std::string_view key);  // at least one

  template <class Value, std::size_t N>
  Value word(std::string_view key, const std::array<std::string_view, N>& names) {
    const std::string given = text(key);
    std::string listed;
    for (std::size_t i = 0; i < N; ++i) {
      if (names[i] == given) return static_cast<Value>(i);
      listed += (i == 0 ? "" : ", ") + std::string(names[i]);
    }
    wrong(key, "'" + given + "' is not known", "use one of " + listed);
  }

  bool has(std::string_view key) const { return table_->contains(key); }
  void expect_no_other_key() const;

 private:
  const toml::node* find(std::string_view key);  // null when absent
  const toml::array* find_list(std::string_view key);
  double checked_number(const toml::node& node, std::string_view key, double low, double high) const;
  std::int64_t checked_whole(const toml::node& node, std::string_view key, std::int64_t low,
                             std::int64_t high) const;

  const toml::table* table_;
  std::string file_, place_;
  std::set<std::string> asked_;
};

}  // namespace boxfettle
