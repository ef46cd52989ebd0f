// Which measured values belong together: one row a subgroup, rows of one label, or so many rows in turn.
#pragma once

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
  std::vector<double> values;     // missing ones left out
  std::vector<std::size_t> rows;  // of the table, missing ones among them
};

struct SubgroupTable {
  std::string column;
  std::vector<LabelledValues> subgroups;  // in order of first appearance
};

// Without --subgroup and --size every row is a subgroup of its own, called by its number from 1 or by what
// stands in a column "label", "core", "date" or "time". Throws WrongUse for both options at once.
SubgroupTable subgroup_table(const CommandLine& line, const MeasuredTable& table);

}  // namespace boxfettle
