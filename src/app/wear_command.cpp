#include "app/wear_command.hpp"

#include "app/answer_form.hpp"
#include "app/command_line.hpp"
#include "app/measured_table.hpp"
#include "paper/json_object.hpp"
#include "paper/wear_answer.hpp"
#include "paper/wear_picture.hpp"

namespace boxfettle {
namespace {

// Rows without shots or depth are passed over: a series of scans has such.
std::vector<WearReading> readings_in(const CommandLine& line, const MeasuredTable& table,
                                     std::vector<std::string>& notes) {
  const std::size_t shots = table.column(line.value("--shots-column"), {"shots"}, "--shots-column"),
                    depth =
                        table.column(line.value("--depth-column"), {"depth_mm", "depth"}, "--depth-column");
  const auto patch = table.column_if_there(line.value("--patch-column"), {"patch"}),
             u95 = table.column_if_there(line.value("--u95-column"), {"u95_mm"});
  std::vector<WearReading> readings;
  std::size_t passed_over = 0;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto at = table.number(row, shots), deep = table.number(row, depth);
    if (!at || !deep) {
      ++passed_over;
      continue;
    }
    if (*at < 0) throw table.fault(row, "shots are below zero", "count the shots since the box was new");
    readings.push_back(
        {patch ? table.text(row, *patch) : "all", *at, *deep, u95 ? table.number(row, *u95) : std::nullopt});
  }
  if (passed_over > 0)
    notes.push_back("Rows passed over for want of shots or depth: " + std::to_string(passed_over) + ".");
  return readings;
}

Answer run(const CommandLine& line) {
  WearAnswer answer;
  answer.settings.limit_mm = *line.number("--limit", 1e-6, 1e6);
  answer.settings.confidence = confidence(line);
  answer.asked.risk = line.number("--risk", 0.0005, 0.5).value_or(answer.asked.risk);
  answer.asked.monthly_shots = line.number("--monthly-shots", 1e-3, 1e9);
  const MeasuredTable table(line.operand(0));
  answer.readings = readings_in(line, table, answer.notes);
  answer.wear = with_file_named(table.path(), [&] { return wear(answer.readings, answer.settings); });
  answer.interval = measuring_interval(answer.wear, answer.asked);
  return answer_in(line, {table.path()},
                   {[&](const auto& inputs) { return json_text(wear_json(answer, inputs)); },
                    [&] { return wear_text(answer); }, [&] { return wear_picture(answer); }});
}

}  // namespace

Command wear_command() {
  return {
      .name = "wear",
      .purpose = "tell how fast a box wears, the shots that are left, and when to measure again",
      .operands = {"DATA.csv"},
      .options = {{"--limit", "MM", "how deep wear or build-up may get", true},
                  {"--monthly-shots", "N", "what the box makes a month: intervals in months, too"},
                  {"--risk", "R",
                   "accepted chance to be past the limit at the next measurement (default 0.05)"},
                  {"--shots-column", "NAME", "default: shots"},
                  {"--depth-column", "NAME", "default: depth_mm"},
                  {"--patch-column", "NAME", "which place of the box (default: patch, if it is there)"},
                  {"--u95-column", "NAME",
                   "each reading's 95 % uncertainty (default: u95_mm, if it is there)"},
                  confidence_option,
                  picture_option,
                  json_option},
      .example =
          "  boxfettle wear depths.csv --limit 0.3 --monthly-shots 4000\n\n"
          "  reads depths by patch and shots, as boxfettle scan --series DIR --csv depths.csv leaves them, "
          "and\n"
          "  prints the wear per 1,000 shots with its interval, the shots until the first place reaches 0.3 "
          "mm,\n"
          "  and after how many shots and months to measure again, with the six to twelve months of common\n"
          "  practice beside it.\n",
      .run = run};
}

}  // namespace boxfettle
