#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "input/input_error.hpp"
#include "statistics/gauge_study.hpp"
#include "statistics/moments.hpp"

namespace boxfettle {
namespace {

using Cells = std::map<std::pair<std::string, std::string>, std::vector<double>>;

struct Table {
  std::vector<std::string> parts, people;  // in order of first appearance
  Cells cells;
};

Table table_of(std::span<const GaugeReading> readings) {
  Table table;
  std::map<std::string, bool> part_seen, person_seen;
  for (const GaugeReading& one : readings) {
    if (!std::exchange(part_seen[one.part], true)) table.parts.push_back(one.part);
    if (!std::exchange(person_seen[one.person], true)) table.people.push_back(one.person);
    table.cells[{one.part, one.person}].push_back(one.value);
  }
  return table;
}

void check(const Table& table) {
  if (table.parts.size() < 2)
    throw InputError("", "", "fewer than two parts were measured", "take five to ten parts that differ");
  std::size_t fullest = 0;
  for (const auto& [who, values] : table.cells) fullest = std::max(fullest, values.size());
  for (const std::string& part : table.parts)
    for (const std::string& person : table.people) {
      const auto cell = table.cells.find({part, person});
      const std::size_t repeats = cell == table.cells.end() ? 0 : cell->second.size();
      if (repeats == fullest) continue;
      throw InputError(
          "", "part " + part + ", person " + person,
          "has " + std::to_string(repeats) + " readings where others have " + std::to_string(fullest),
          "everybody measures every part equally often");
    }
  if (fullest < 2)
    throw InputError("", "", "nobody measured a part twice: repeatability cannot be told",
                     "measure every part at least twice");
}

// Means are taken about the grand mean, so that large constants in the readings cost no digits.
double mean(std::span<const double> values, double about) {
  Moments moments;
  for (const double value : values) moments.add(value - about);
  return moments.mean();
}

class Means {
 public:
  Means(const Table& table, double about) {
    for (const std::string& part : table.parts)
      for (const std::string& person : table.people) {
        const double cell = mean(table.cells.at({part, person}), about);
        parts_[part].add(cell);
        people_[person].add(cell);
        all_.add(cell);
      }
  }
  double part(const std::string& one) const { return parts_.at(one).mean() - all_.mean(); }
  double person(const std::string& one) const { return people_.at(one).mean() - all_.mean(); }
  double all() const { return all_.mean(); }

 private:
  std::map<std::string, Moments> parts_, people_;
  Moments all_;
};

}  // namespace

CrossedAnova crossed_anova(std::span<const GaugeReading> readings) {
  const Table table = table_of(readings);
  check(table);
  CrossedAnova anova{
      table.parts.size(), table.people.size(), table.cells.begin()->second.size(), {}, {}, {}, {}};
  Moments grand;
  for (const GaugeReading& one : readings) grand.add(one.value);
  const Means means(table, grand.mean());
  const auto a = static_cast<double>(anova.parts), b = static_cast<double>(anova.people),
             n = static_cast<double>(anova.repeats);
  for (const std::string& part : table.parts) anova.part.squares += b * n * std::pow(means.part(part), 2);
  for (const std::string& person : table.people)
    anova.person.squares += a * n * std::pow(means.person(person), 2);
  for (const auto& [who, values] : table.cells) {
    const double cell = mean(values, grand.mean());
    const double left = cell - means.all() - means.part(who.first) - means.person(who.second);
    anova.interaction.squares += n * left * left;
    for (const double value : values) anova.repeat.squares += std::pow((value - grand.mean()) - cell, 2);
  }
  anova.part.degrees = a - 1;
  anova.person.degrees = b - 1;
  anova.interaction.degrees = (a - 1) * (b - 1);
  anova.repeat.degrees = a * b * (n - 1);
  return anova;
}

}  // namespace boxfettle
