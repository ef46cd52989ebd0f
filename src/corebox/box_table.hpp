// One table of a box file while it is read: typed values within their ranges, and refusals that name line and
// key.
#pragma once

#include <toml++/toml.h>

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

// Both ends belong to it.
struct Range {
  double low, high;
};

class BoxTable {
 public:
  // `path` is empty for the file itself, else "dowel[2]" and the like. A key that is not in `known` is
  // refused at once: it is most likely a misspelling of one that would otherwise be called missing.
  BoxTable(const toml::table& table, std::string path, const std::string& file,
           std::span<const std::string_view> known);

  bool has(std::string_view key) const { return table_->contains(key); }

  double number(std::string_view key, Range range) const;
  double number(std::string_view key, Range range, double otherwise) const;
  std::string text(std::string_view key) const;  // one line, not empty
  std::string text(std::string_view key, std::string_view otherwise) const;
  Eigen::Vector2d pair(std::string_view key) const { return numbers<2>(key); }
  Eigen::Vector3d triple(std::string_view key) const { return numbers<3>(key); }
  Eigen::Matrix<double, 9, 1> nine(std::string_view key) const { return numbers<9>(key); }

  // One of a closed set of names; `named` gives the value or nothing. Absent: `otherwise`.
  template <typename Kind>
  Kind one_of(std::string_view key, std::optional<Kind> (*named)(std::string_view),
              std::span<const std::string_view> names, std::optional<Kind> otherwise = std::nullopt) const {
    if (otherwise && !has(key)) return *otherwise;
    const std::string name = text(key);
    const std::optional<Kind> kind = named(name);
    if (!kind) refuse_name(key, name, names);
    return *kind;
  }

  // The table or the array of tables under a key; empty when absent.
  std::optional<BoxTable> table(std::string_view key, std::span<const std::string_view> known) const;
  std::vector<BoxTable> tables(std::string_view key, std::span<const std::string_view> known) const;

  [[noreturn]] void refuse(std::string_view key, const std::string& what, const std::string& mend) const;

 private:
  const toml::node& node(std::string_view key) const;  // refuses a missing one
  double number_in(const toml::node& node, std::string_view key, Range range) const;
  [[noreturn]] void refuse_name(std::string_view key, const std::string& name,
                                std::span<const std::string_view> names) const;
  std::string place(std::string_view key) const;
  std::string full_name(std::string_view key) const;

  template <int N>
  Eigen::Matrix<double, N, 1> numbers(std::string_view key) const;

  const toml::table* table_;
  std::string path_;
  const std::string* file_;
};

}  // namespace boxfettle
