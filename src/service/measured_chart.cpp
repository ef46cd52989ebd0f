#include "service/measured_chart.hpp"

#include <algorithm>

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

std::string baseline_note(std::int64_t first, std::size_t used, const MeasuredChartAsked& asked) {
  if (asked.centre && asked.sigma) return "Limits from the centre and the scatter given.";
  const std::string place = "values " + std::to_string(first) + " to " +
                            std::to_string(first + static_cast<std::int64_t>(used) - 1);
  if (used < asked.baseline)
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
  const auto first = single_values(kept.from(box, measured.name, asked.from, asked.baseline));
  const ChartBasis basis = chart_basis(first, answer.settings);

  // The newest points are held against limits that stand, whether or not the baseline is still among them.
  ChartSettings standing = answer.settings;
  standing.target = basis.centre;
  standing.sigma = basis.sigma;
  const auto since = static_cast<std::size_t>(measured.values - asked.from + 1);
  const auto newest = kept.newest(box, measured.name, std::min(asked.last, since));
  answer.chart = control_chart(single_values(newest), standing);
  answer.chart.basis.subgroups_used = basis.subgroups_used;
  for (const NumberedMeasurement& one : newest) answer.labels.push_back(std::to_string(one.number));
  answer.notes.push_back(baseline_note(asked.from, first.size(), asked));

  nlohmann::ordered_json told = chart_json(answer, {});
  told["of"] = measured.name;
  told["unit"] = measured.unit;
  told["values"] = measured.values;
  told["baseline"] = {{"first", asked.from},
                      {"last", asked.from + static_cast<std::int64_t>(first.size()) - 1},
                      {"given", asked.centre && asked.sigma}};
  return told;
}

}  // namespace boxfettle
