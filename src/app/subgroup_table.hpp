// Which measured values belong together: one row a subgroup, rows of one label, or so many rows in turn.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/command.hpp"
#include "app/measured_table.hpp"

namespace boxfettle {

class CommandLine;

inline constexpr Option column_option{
    "--column", "NAME", "the column that was measured (default: value, or the only one with numbers)"};
inline constexpr Option subgroup_option{"--subgroup", "NAME",
                                        "the column whose equal labels make a subgroup"};
inline constexpr Option size_option{"--size", "N", "or: so many rows in turn make a subgroup"};

struct LabelledValues {
  std::string label;
  std::vector<double> values;  // missing ones left out
  double checked = 0;          // how many were looked at, where a column says so
};

struct SubgroupTable {
  std::string column;
  std::vector<LabelledValues> subgroups;  // in order of first appearance
};

// Without --subgroup and --size every row is a subgroup of its own, called by its number from 1 or by what
// stands in a column "label", "core", "date" or "time". `checked` is the
// column that says how many were looked at. Throws WrongUse for both options at once, InputError for what is
// no number.
SubgroupTable subgroup_table(const CommandLine& line, const MeasuredTable& table,
                             std::optional<std::size_t> checked = {});

}  // namespace boxfettle
