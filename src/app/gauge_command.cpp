#include "app/gauge_command.hpp"

#include "app/answer_form.hpp"
#include "app/command_line.hpp"
#include "app/measured_table.hpp"
#include "paper/gauge_answer.hpp"
#include "paper/gauge_picture.hpp"
#include "paper/json_object.hpp"

namespace boxfettle {
namespace {

Answer run(const CommandLine& line) {
  GaugeAnswer answer;
  answer.settings.confidence = confidence(line);
  answer.settings.tolerance = line.number("--tolerance", 1e-30, 1e30);
  answer.settings.pool_above = line.number("--pool-above", 0, 1).value_or(answer.settings.pool_above);
  const MeasuredTable table(line.operand(0));
  const std::size_t part = table.column(line.value("--part"), {"part"}, "--part"),
                    value = table.column(line.value("--value"), {"value"}, "--value");
  const auto person = table.column_if_there(line.value("--operator"), {"operator"});
  if (!person)
    answer.notes.emplace_back("No column tells who measured: one person is taken to have done it all.");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto reading = table.number(row, value);
    if (!reading) throw table.fault(row, "a reading is missing", "every cell of the study must be filled");
    answer.readings.push_back({table.text(row, part), person ? table.text(row, *person) : "-", *reading});
  }
  answer.column = table.column_name(value);
  answer.study = with_file_named(table.path(), [&] { return gauge_study(answer.readings, answer.settings); });
  return answer_in(line, {table.path()},
                   {[&](const auto& inputs) { return json_text(gauge_json(answer, inputs)); },
                    [&] { return gauge_text(answer); }, [&] { return gauge_picture(answer); }});
}

}  // namespace

Command gauge_command() {
  return {.name = "gauge",
          .purpose = "tell how much of what a gauge shows is the gauge and who reads it",
          .operands = {"DATA.csv"},
          .options = {{"--part", "NAME", "the column that says which part (default: part)"},
                      {"--operator", "NAME", "the column that says who measured (default: operator)"},
                      {"--value", "NAME", "the column with the reading (default: value)"},
                      {"--tolerance", "T", "width of the tolerance band: its share that the gauge takes"},
                      {"--pool-above", "P", "an interaction with a larger p value is chance (default 0.25)"},
                      confidence_option,
                      picture_option,
                      json_option},
          .example =
              "  boxfettle gauge calliper.csv --part core --operator who --value width_mm --tolerance 0.6\n\n"
              "  splits the scatter of ten cores measured by three people three times each: repeatability, "
              "people,\n"
              "  parts, each with its interval; how many kinds of core the gauge tells apart.\n",
          .run = run};
}

}  // namespace boxfettle
