#include "app/firstpiece_command.hpp"

#include <algorithm>
#include <cmath>

#include "app/answer_form.hpp"
#include "app/command_line.hpp"
#include "app/measured_table.hpp"
#include "paper/first_piece_answer.hpp"
#include "paper/first_piece_picture.hpp"
#include "paper/json_object.hpp"
#include "statistics/moments.hpp"

namespace boxfettle {
namespace {

std::optional<std::size_t> whole_count(const CommandLine& line, std::string_view option, double low) {
  const auto value = line.number(option, low, 1e9);
  if (!value) return std::nullopt;
  if (*value != std::floor(*value)) throw WrongUse(std::string(option) + " takes a whole number");
  return static_cast<std::size_t>(*value);
}

std::optional<CheckedPieces> checked_pieces(const CommandLine& line, double confidence) {
  const auto checked = whole_count(line, "--checked", 1), bad = whole_count(line, "--bad", 0);
  if (!checked && !bad) return std::nullopt;
  if (!checked || !bad) throw WrongUse("--checked N and --bad K go together");
  if (*bad > *checked) throw WrongUse("--bad is more than --checked");
  return CheckedPieces{*checked, *bad, clopper_pearson(*checked, *bad, confidence),
                       at_most_bad(*checked, *bad, confidence)};
}

MeasuredPieces measured_pieces(const CommandLine& line, const MeasuredTable& table, double confidence) {
  const std::size_t column = table.measured_column(line.value("--column"), {});
  std::vector<double> values;
  for (std::size_t row = 0; row < table.rows(); ++row)
    if (const auto value = table.number(row, column)) values.push_back(*value);
  const Moments moments(values);
  if (values.size() < 2)
    throw InputError(table.path(), "", "fewer than two pieces were measured: no scatter can be told",
                     "measure five first pieces");
  if (!(*moments.sd() > 1e-13 * std::abs(moments.mean())))
    throw InputError(table.path(), "", "all pieces measure the same: no scatter can be told",
                     "look at the gauge's resolution");
  const double share = line.number("--share", 0.5, 0.9999).value_or(0.9);
  return {table.column_name(column),
          values.size(),
          moments.mean(),
          *moments.sd(),
          share,
          tolerance_factors(values.size(), share, confidence)};
}

std::size_t plan_count(const MeasuredTable& table, std::size_t row, double value, double low) {
  if (value < low || value > 1e5 || value != std::floor(value))
    throw table.fault(
        row, "a plan's count is not a whole number from " + std::to_string(static_cast<int>(low)) + " on",
        "write checked, accept, reject as whole numbers");
  return static_cast<std::size_t>(value);
}

// Columns checked, accept (may be empty), reject (may be empty in the last row: accept + 1).
StagedPlan plan_in(const MeasuredTable& table) {
  const std::size_t checked = table.column(std::nullopt, {"checked"}, "a column 'checked'"),
                    accept = table.column(std::nullopt, {"accept"}, "a column 'accept'"),
                    reject = table.column(std::nullopt, {"reject"}, "a column 'reject'");
  StagedPlan plan;
  double pieces = 0;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    PlanStage stage{plan_count(table, row, table.number(row, checked).value_or(0), 1), std::nullopt, 0};
    if (const auto most = table.number(row, accept)) stage.accept = plan_count(table, row, *most, 0);
    const bool last = row + 1 == table.rows();
    const auto least = table.number(row, reject);
    if (!least && !(last && stage.accept))
      throw table.fault(row, "reject is missing", "say from how many bad on the run is rejected");
    stage.reject = least ? plan_count(table, row, *least, 1) : *stage.accept + 1;
    if (stage.accept && *stage.accept >= stage.reject)
      throw table.fault(row, "accept is not below reject", "accept at fewer bad than reject");
    if (last && (!stage.accept || stage.reject != *stage.accept + 1))
      throw table.fault(row, "the last stage leaves runs undecided", "let reject be accept + 1 there");
    pieces += static_cast<double>(stage.checked);
    if (pieces > 20000) throw table.fault(row, "the plan checks more than 20,000 pieces", "check fewer");
    plan.push_back(stage);
  }
  if (plan.empty()) throw InputError(table.path(), "", "holds no stage", "write one row a stage");
  return plan;
}

std::optional<PlanAnswer> plan_asked(const CommandLine& line, std::vector<std::string>& files) {
  const auto poor = line.number("--poor", 0.002, 0.9), good = line.number("--good", 0.0001, 0.9);
  PlanAnswer answer;
  if (const auto file = line.value("--plan")) {
    if (poor || good) throw WrongUse("--plan brings its own numbers; leave --good and --poor out");
    files.push_back(*file);
    answer.plan = plan_in(MeasuredTable(*file));
  } else if (poor || good) {
    if (!poor || !good || *poor < 2 * *good)
      throw WrongUse("a sequential plan needs --good and --poor, the poor one at least twice the good one");
    answer.goals = SequentialGoals{*good, *poor, line.number("--alarm", 0.001, 0.4).value_or(0.05),
                                   line.number("--miss", 0.001, 0.4).value_or(0.10)};
    answer.plan = sequential_plan(*answer.goals);
  } else {
    return std::nullopt;
  }
  for (const double bad : {0.0, 0.005, 0.01, 0.02, 0.03, 0.05, 0.07, 0.10, 0.15, 0.20, 0.30})
    answer.outcomes.push_back({bad, plan_outcome(answer.plan, bad)});
  return answer;
}

Answer run(const CommandLine& line) {
  FirstPieceAnswer answer;
  answer.confidence = confidence(line);
  for (const double fraction : {0.10, 0.05, 0.01})
    answer.needs.push_back({fraction, pieces_needed(fraction, 0, answer.confidence)});
  answer.pieces = checked_pieces(line, answer.confidence);
  std::vector<std::string> files;
  if (const auto file = line.value("--measured")) {
    files.push_back(*file);
    answer.measured = measured_pieces(line, MeasuredTable(*file), answer.confidence);
    answer.notes.emplace_back(
        "Limits of measured pieces suppose normal values; a handful cannot show whether they are.");
  }
  answer.plan = plan_asked(line, files);
  if (!answer.pieces && !answer.measured && !answer.plan)
    throw WrongUse(
        "--checked N and --bad K are missing (or --measured FILE, --plan FILE, --good with --poor)");
  answer.notes.emplace_back(
      "First pieces speak for the run only as long as nothing changes: box, sand, pressure, people.");
  return answer_in(line, files,
                   {[&](const auto& inputs) { return json_text(first_piece_json(answer, inputs)); },
                    [&] { return first_piece_text(answer); }, [&] { return first_piece_picture(answer); }});
}

}  // namespace

Command firstpiece_command() {
  return {
      .name = "firstpiece",
      .purpose = "tell what first pieces say about the run: how many may still be bad",
      .operands = {},
      .options = {{"--checked", "N", "how many first pieces were checked"},
                  {"--bad", "K", "how many of them were bad"},
                  {"--measured", "DATA.csv", "first pieces measured: limits that hold most of the run"},
                  {"--column", "NAME", "with --measured: the column that was measured"},
                  {"--share", "P", "with --measured: how much of the run they are to hold (default 0.9)"},
                  {"--good", "P", "a sequential plan: bad fraction that shall pass, 0.01 for 1 %"},
                  {"--poor", "P", "and the one that shall not"},
                  {"--alarm", "RISK", "of rejecting the good one (default 0.05)"},
                  {"--miss", "RISK", "of accepting the poor one (default 0.10)"},
                  {"--plan", "PLAN.csv",
                   "a plan of several stages: checked, accept, reject; what it accepts"},
                  confidence_option,
                  picture_option,
                  json_option},
      .example =
          "  boxfettle firstpiece --checked 5 --bad 0\n\n"
          "  says that up to 45 % of the run may still be bad (95 % confidence), and how many good pieces\n"
          "  would bear a claim of 10, 5 or 1 %. A plan that stops as early as it can:\n\n"
          "  boxfettle firstpiece --good 0.01 --poor 0.10\n",
      .run = run};
}

}  // namespace boxfettle
