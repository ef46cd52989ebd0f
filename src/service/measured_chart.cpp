#include "service/measured_chart.hpp"

#include "input/input_error.hpp"
#include "paper/chart_answer.hpp"
#include "statistics/control_chart.hpp"

namespace boxfettle {
namespace {

std::vector<Subgroup> single_values(const std::vector<NumberedMeasurement>& values) {
  std::vector<Subgroup> points;
  points.reserve(values.size());
  for (const NumberedMeasurement& one : values) points.push_back({{one.measurement.value}, 0});
  return points;
}

ChartSettings settings_of(const MeasuredChartAsked& asked) {
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  settings.target = asked.centre;
  settings.sigma = asked.sigma;
  settings.baseline = asked.baseline;
  settings.rules.rules.push_back(RunRule::drift);
  return settings;
}

std::string baseline_note(const std::vector<NumberedMeasurement>& first, const MeasuredChartAsked& asked) {
  if (asked.centre && asked.sigma) return "Limits from the centre and the scatter given.";
  const std::string place =
      "values " + std::to_string(first.front().number) + " to " + std::to_string(first.back().number);
  if (first.size() < asked.baseline)
    return "Limits from " + place + ", all there are: they move with each value until there are " +
           std::to_string(asked.baseline) + ".";
  return "Limits from " + place + ".";
}

}  // namespace

nlohmann::ordered_json measured_chart_json(StoredMeasurements& kept, const std::string& box,
                                           const Characteristic& measured, const MeasuredChartAsked& asked) {
  if (asked.from > measured.values)
    throw InputError("", "from", "no value has come since no. " + std::to_string(asked.from),
                     "begin at an earlier value, of " + std::to_string(measured.values));
  ChartAnswer answer{measured.name, settings_of(asked), {}, {}, {}};
  const auto first = kept.first_standing(box, measured.name, asked.from, asked.baseline);
  if (first.empty())
    throw InputError("", "from", "every value from no. " + std::to_string(asked.from) + " on was struck out",
                     "begin at an earlier value, or enter new ones");
  const ChartBasis basis = chart_basis(single_values(first), answer.settings);

  // The newest points are held against limits that stand, whether or not the baseline is still among them.
  ChartSettings standing = answer.settings;
  standing.target = basis.centre;
  standing.sigma = basis.sigma;
  const auto newest = kept.newest_standing(box, measured.name, asked.from, asked.last);
  answer.chart = control_chart(single_values(newest), standing);
  answer.chart.basis.subgroups_used = basis.subgroups_used;
  for (const NumberedMeasurement& one : newest) answer.labels.push_back(std::to_string(one.number));
  answer.notes.push_back(baseline_note(first, asked));
  if (measured.struck > 0)
    answer.notes.push_back("Values struck out and not counted: " + std::to_string(measured.struck) + ".");

  nlohmann::ordered_json told = chart_json(answer, {});
  told["of"] = measured.name;
  told["unit"] = measured.unit;
  told["values"] = measured.values;
  told["struck"] = measured.struck;
  told["baseline"] = {{"first", first.front().number},
                      {"last", first.back().number},
                      {"given", asked.centre && asked.sigma}};
  return told;
}

}  // namespace boxfettle
