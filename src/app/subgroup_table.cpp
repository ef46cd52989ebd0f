#include "app/subgroup_table.hpp"

#include <map>

#include "app/command_line.hpp"

namespace boxfettle {
namespace {

struct Columns {
  std::size_t measured;
  std::optional<std::size_t> checked;
};

void take(LabelledValues& subgroup, const MeasuredTable& table, std::size_t row, const Columns& columns) {
  if (const auto value = table.number(row, columns.measured)) subgroup.values.push_back(*value);
  if (!columns.checked) return;
  const double checked = table.number(row, *columns.checked).value_or(0);
  if (checked < 0) throw table.fault(row, "fewer than none were checked", "count whole cores");
  subgroup.checked += checked;
}

std::vector<LabelledValues> by_label(const MeasuredTable& table, const Columns& columns, std::size_t labels) {
  std::vector<LabelledValues> subgroups;
  std::map<std::string, std::size_t> places;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const std::string label = table.text(row, labels);
    const auto [place, fresh] = places.emplace(label, subgroups.size());
    if (fresh) subgroups.push_back({label, {}});
    take(subgroups[place->second], table, row, columns);
  }
  return subgroups;
}

std::vector<LabelledValues> in_turn(const MeasuredTable& table, const Columns& columns, std::size_t size,
                                    const std::optional<std::size_t>& labels) {
  std::vector<LabelledValues> subgroups;
  subgroups.reserve((table.rows() + size - 1) / size);
  for (std::size_t row = 0; row < table.rows(); ++row) {
    if (row % size == 0)
      subgroups.push_back(
          {labels && size == 1 ? table.text(row, *labels) : std::to_string(subgroups.size() + 1), {}});
    take(subgroups.back(), table, row, columns);
  }
  return subgroups;
}

}  // namespace

SubgroupTable subgroup_table(const CommandLine& line, const MeasuredTable& table,
                             std::optional<std::size_t> checked) {
  const auto label_column = line.value("--subgroup");
  const auto size = line.number("--size", 1, 1e6);
  if (label_column && size) throw WrongUse("--subgroup and --size say the same thing in two ways; give one");
  std::vector<std::size_t> others;
  if (label_column) others.push_back(table.column(label_column, {"subgroup"}, "--subgroup"));
  const auto names = table.column_if_there(std::nullopt, {"label", "core", "date", "time"});
  if (names) others.push_back(*names);
  const std::size_t column = table.measured_column(line.value("--column"), others);
  const std::string name = table.column_name(column);
  if (label_column) return {name, by_label(table, {column, checked}, others.front())};
  return {name, in_turn(table, {column, checked}, static_cast<std::size_t>(size.value_or(1)), names)};
}

}  // namespace boxfettle
