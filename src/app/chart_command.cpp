#include "app/chart_command.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "app/answer_form.hpp"
#include "app/command_line.hpp"
#include "app/subgroup_table.hpp"
#include "paper/chart_answer.hpp"
#include "paper/chart_picture.hpp"

namespace boxfettle {
namespace {

std::vector<RunRule> rules_asked(const std::string& text) {
  if (text == "all") return {all_run_rules.begin(), all_run_rules.end()};
  std::vector<RunRule> rules{RunRule::outside_limits};
  if (text == "none") return rules;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t comma = std::min(text.find(',', from), text.size());
    const std::string word = text.substr(from, comma - from);
    const auto rule = run_rule_named(word);
    if (!rule) {
      std::string known;
      for (const RunRule one : all_run_rules) known.append(" ").append(name(one));
      throw WrongUse("--rules takes all, none, or names with commas between:" + known + "; not '" + word +
                     "'");
    }
    if (std::ranges::find(rules, *rule) == rules.end()) rules.push_back(*rule);
    from = comma + 1;
  }
  return rules;
}

std::optional<std::size_t> whole(const CommandLine& line, std::string_view option, double low, double high) {
  const auto value = line.number(option, low, high);
  if (!value) return std::nullopt;
  if (*value != std::floor(*value)) throw WrongUse(std::string(option) + " takes a whole number");
  return static_cast<std::size_t>(*value);
}

ChartSettings settings_asked(const CommandLine& line) {
  ChartSettings settings;
  const std::string kind = line.needed("--kind");
  const auto known = chart_kind_named(kind);
  if (!known) throw WrongUse("--kind takes xbar-r, xbar-s, i-mr, p, c, ewma or cusum, not '" + kind + "'");
  settings.kind = *known;
  settings.target = line.number("--target", -1e30, 1e30);
  settings.sigma = line.number("--sigma", 1e-30, 1e30);
  settings.baseline = whole(line, "--baseline", 1, 1e9);
  if (const auto text = line.value("--rules")) settings.rules.rules = rules_asked(*text);
  settings.rules.one_side_run = whole(line, "--one-side-run", 3, 60).value_or(settings.rules.one_side_run);
  settings.lambda = line.number("--lambda", 0.01, 1).value_or(settings.lambda);
  settings.width = line.number("--width", 0.1, 10).value_or(settings.width);
  settings.k = line.number("--k", 0, 5).value_or(settings.k);
  settings.h = line.number("--h", 0.1, 50).value_or(settings.h);
  settings.confidence = confidence(line);
  return settings;
}

// p: the column that says how many were checked; none when marks of 0 and 1 are counted up.
std::optional<std::size_t> checked_column(const CommandLine& line, const MeasuredTable& table,
                                          ChartKind kind) {
  if (kind != ChartKind::p) {
    if (line.has("--checked-column")) throw WrongUse("--checked-column goes with --kind p only");
    return std::nullopt;
  }
  const auto column = table.column_if_there(line.value("--checked-column"), {"checked"});
  if (!column && !line.has("--subgroup") && !line.has("--size"))
    throw InputError(table.path(), "line 1", "a p chart needs to know how many were checked",
                     "name their column with --checked-column, or mark each core 0 or 1 and give --subgroup");
  return column;
}

// p and c chart one count, the sum of what the rows say.
Subgroup subgroup_of(LabelledValues&& one, ChartKind kind, bool checked_told) {
  if ((kind != ChartKind::p && kind != ChartKind::c) || one.values.empty())
    return {std::move(one.values), 0};
  const double count = std::accumulate(one.values.begin(), one.values.end(), 0.0);
  if (kind == ChartKind::c) return {{count}, 0};
  return {{count}, checked_told ? one.checked : static_cast<double>(one.values.size())};
}

// What stands in the file, without the file: a long one is not kept beside its chart.
struct ToBeCharted {
  std::string column;
  std::vector<std::string> labels;
  std::vector<Subgroup> subgroups;
};

ToBeCharted to_be_charted(const CommandLine& line, ChartKind kind) {
  const MeasuredTable table(line.operand(0));
  const auto checked = checked_column(line, table, kind);
  SubgroupTable grouped = subgroup_table(line, table, checked);
  ToBeCharted charted{grouped.column, {}, {}};
  charted.labels.reserve(grouped.subgroups.size());
  charted.subgroups.reserve(grouped.subgroups.size());
  for (LabelledValues& one : grouped.subgroups) {
    charted.labels.push_back(std::move(one.label));
    charted.subgroups.push_back(subgroup_of(std::move(one), kind, checked.has_value()));
  }
  return charted;
}

Answer run(const CommandLine& line) {
  ChartAnswer answer;
  answer.settings = settings_asked(line);
  const ChartKind kind = answer.settings.kind;
  const bool means = kind == ChartKind::xbar_r || kind == ChartKind::xbar_s;
  if (means && !line.has("--subgroup") && !line.has("--size"))
    throw WrongUse("--kind " + std::string(name(kind)) +
                   " needs --subgroup NAME or --size N: which cores belong together");
  const std::string file = line.operand(0);
  {
    ToBeCharted charted = to_be_charted(line, kind);
    answer.column = std::move(charted.column);
    answer.labels = std::move(charted.labels);
    answer.chart =
        with_file_named(file, [&] { return control_chart(charted.subgroups, answer.settings); });
  }
  return answer_in(line, {file},
                   {[&](const auto& inputs) { return chart_json_text(answer, inputs); },
                    [&] { return chart_text(answer); }, [&] { return chart_picture(answer); }});
}

}  // namespace

Command chart_command() {
  return {
      .name = "chart",
      .purpose = "tell whether the weight or size of cores has moved, and since which core",
      .operands = {"DATA.csv"},
      .options = {{"--kind", "KIND", "xbar-r, xbar-s, i-mr, p, c, ewma or cusum", true},
                  column_option,
                  subgroup_option,
                  size_option,
                  {"--checked-column", "NAME", "p: how many were checked (default: checked)"},
                  {"--target", "T", "the centre, when it is given and not estimated"},
                  {"--sigma", "S", "the scatter of a single core, when it is given"},
                  {"--baseline", "N", "take limits from the first N points only"},
                  {"--rules", "LIST", "run rules with commas between, all, or none"},
                  {"--one-side-run", "N", "how long a run on one side is a signal (default 9)"},
                  {"--lambda", "L", "ewma: weight of the newest point (default 0.2)"},
                  {"--width", "W", "ewma: limits in sigmas of the mean (default 3)"},
                  {"--k", "K", "cusum: reference in sigmas of a point (default 0.5)"},
                  {"--h", "H", "cusum: limit in sigmas of a point (default 5)"},
                  confidence_option,
                  picture_option,
                  json_option},
      .example =
          "  boxfettle chart weights.csv --kind i-mr --column weight_g --baseline 100 --picture chart.svg\n\n"
          "  draws limits from the first 100 cores, lists every signal with the rule that saw it, says how "
          "often\n"
          "  such a chart cries wolf and how soon it sees a shift of one sigma, and between which cores the\n"
          "  weight moved. Cores weighed five at a time, each five with one label in column hour:\n\n"
          "  boxfettle chart weights.csv --kind xbar-r --column weight_g --subgroup hour\n",
      .run = run};
}

}  // namespace boxfettle
