#include "app/capability_command.hpp"

#include "app/answer_form.hpp"
#include "app/command_line.hpp"
#include "app/subgroup_table.hpp"
#include "paper/capability_answer.hpp"
#include "paper/capability_picture.hpp"
#include "paper/json_object.hpp"

namespace boxfettle {
namespace {

Answer run(const CommandLine& line) {
  CapabilityAnswer answer;
  answer.band = {line.number("--lower", -1e30, 1e30), line.number("--upper", -1e30, 1e30)};
  if (!answer.band.lower && !answer.band.upper) throw WrongUse("--lower L or --upper U is missing");
  answer.settings.confidence = confidence(line);
  const MeasuredTable table(line.operand(0));
  const SubgroupTable grouped = subgroup_table(line, table);
  answer.column = grouped.column;
  std::vector<std::vector<double>> subgroups;
  for (const LabelledValues& one : grouped.subgroups) {
    subgroups.push_back(one.values);
    answer.values.insert(answer.values.end(), one.values.begin(), one.values.end());
  }
  answer.capability =
      with_file_named(table.path(), [&] { return capability(subgroups, answer.band, answer.settings); });
  if (!line.has("--subgroup") && !line.has("--size"))
    answer.notes.emplace_back(
        "Without subgroups the scatter within is taken from neighbours: rows must stand in the order made.");
  return answer_in(line, {table.path()},
                   {[&](const auto& inputs) { return json_text(capability_json(answer, inputs)); },
                    [&] { return capability_text(answer); }, [&] { return capability_picture(answer); }});
}

}  // namespace

Command capability_command() {
  return {
      .name = "capability",
      .purpose = "tell whether cores scatter narrowly enough for their limits",
      .operands = {"DATA.csv"},
      .options = {{"--lower", "L", "the lower limit; one of the two may be left out"},
                  {"--upper", "U", "the upper limit"},
                  column_option,
                  subgroup_option,
                  size_option,
                  confidence_option,
                  picture_option,
                  json_option},
      .example =
          "  boxfettle capability heights.csv --column height_mm --lower 49.7 --upper 50.3 --subgroup "
          "hour\n\n"
          "  prints Cp and Cpk from the scatter within the hours, Pp and Ppk from all of it, each with its\n"
          "  interval; whether the values look normal, and what to go by when they do not.\n",
      .run = run};
}

}  // namespace boxfettle
