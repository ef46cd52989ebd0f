#include "app/life_command.hpp"

#include <algorithm>
#include <cctype>

#include "app/answer_form.hpp"
#include "app/command_line.hpp"
#include "app/measured_table.hpp"
#include "paper/json_object.hpp"
#include "paper/life_answer.hpp"
#include "paper/life_picture.hpp"

namespace boxfettle {
namespace {

bool says_failed(const MeasuredTable& table, std::size_t row, std::size_t column) {
  std::string word = table.text(row, column);
  std::ranges::transform(word, word.begin(),
                         [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  for (const char* yes : {"1", "yes", "true", "failed"})
    if (word == yes) return true;
  for (const char* no : {"0", "no", "false", "holding", "removed"})
    if (word == no) return false;
  throw table.fault(row, "'" + word.substr(0, 24) + "' does not say whether it failed",
                    "write 1, yes, true or failed; or 0, no, false, holding or removed");
}

class LifeTable {
 public:
  LifeTable(const CommandLine& line, const MeasuredTable& table)
      : table_(table),
        time_(table.column(line.value("--time-column"), {"time", "shots", "hours"}, "--time-column")),
        failed_(table.column(line.value("--failed-column"), {"failed"}, "--failed-column")),
        sound_(table.column_if_there(line.value("--sound-column"), {"last_sound"})),
        group_(table.column_if_there(line.value("--group-column"), {})) {}

  void read(LifeAnswer& answer) const {
    answer.column = table_.column_name(time_);
    std::size_t passed_over = 0;
    for (std::size_t row = 0; row < table_.rows(); ++row) {
      const auto time = table_.number(row, time_);
      if (!time) {
        ++passed_over;
        continue;
      }
      answer.records.push_back(record(row, *time));
      if (group_) add_to_group(answer, table_.text(row, *group_));
    }
    if (passed_over > 0)
      answer.notes.push_back("Rows passed over for want of a time: " + std::to_string(passed_over) + ".");
    if (answer.records.empty())
      throw InputError(table_.path(), "", "holds no record of a life",
                       "write one row a part: its time, and whether it failed");
  }

 private:
  // Checked here, where the line is known.
  LifeRecord record(std::size_t row, double time) const {
    if (!(time > 0))
      throw table_.fault(row, "a life is not above zero", "leave parts out that were never used");
    if (!says_failed(table_, row, failed_)) return {time, std::nullopt};
    const auto sound = sound_ ? table_.number(row, *sound_) : std::nullopt;
    if (sound && (*sound < 0 || *sound > time))
      throw table_.fault(row, "last seen sound after it was found failed", "exchange the two");
    return {sound.value_or(time), time};
  }
  static void add_to_group(LifeAnswer& answer, const std::string& name) {
    auto group = std::ranges::find(answer.groups, name, &LifeGroup::name);
    if (group == answer.groups.end()) {
      answer.groups.push_back({name, {}});
      group = answer.groups.end() - 1;
    }
    group->records.push_back(answer.records.back());
  }

  const MeasuredTable& table_;
  std::size_t time_, failed_;
  std::optional<std::size_t> sound_, group_;
};

std::optional<RenewalCosts> costs_asked(const CommandLine& line) {
  const auto planned = line.number("--cost-planned", 1e-6, 1e12),
             failure = line.number("--cost-failure", 1e-6, 1e12);
  if (planned.has_value() != failure.has_value())
    throw WrongUse("--cost-planned and --cost-failure go together");
  if (!planned) return std::nullopt;
  return RenewalCosts{*planned, *failure};
}

ToldLife told_life(const LifeAnswer& answer, const WeibullLife& life,
                   const std::optional<RenewalCosts>& costs) {
  ToldLife told{life,
                shape_interval(answer.records, life, answer.confidence),
                scale_interval(answer.records, life, answer.confidence),
                quantile_interval(answer.records, life, 0.1, answer.confidence),
                costs,
                std::nullopt};
  if (costs) told.renewal = renewal_age(life, *costs);
  return told;
}

Answer run(const CommandLine& line) {
  LifeAnswer answer;
  answer.confidence = confidence(line);
  const auto costs = costs_asked(line);
  const MeasuredTable table(line.operand(0));
  LifeTable(line, table).read(answer);
  const auto life = with_file_named(table.path(), [&] { return weibull_life(answer.records); });
  if (life) answer.told = told_life(answer, *life, costs);
  const bool any_failed = std::ranges::any_of(answer.records, &LifeRecord::failed);
  if (!any_failed) answer.b10_at_least = bound_without_failures(answer.records, 1, 0.1, answer.confidence);
  if (!answer.groups.empty()) {
    std::vector<std::vector<LifeRecord>> groups;
    for (const LifeGroup& group : answer.groups) groups.push_back(group.records);
    answer.comparison = compare_groups(groups);
  }
  return answer_in(line, {table.path()},
                   {[&](const auto& inputs) { return json_text(life_json(answer, inputs)); },
                    [&] { return life_text(answer); }, [&] { return life_picture(answer); }});
}

}  // namespace

Command life_command() {
  return {
      .name = "life",
      .purpose = "tell how long pins, bushes, vents and handles last, and when to renew them",
      .operands = {"DATA.csv"},
      .options = {{"--time-column", "NAME",
                   "shots or hours a part lived so far (default: time, shots or hours)"},
                  {"--failed-column", "NAME", "whether it failed at that time: 1 or 0 (default: failed)"},
                  {"--sound-column", "NAME",
                   "failed between two checks: when it was last seen sound (default: last_sound)"},
                  {"--group-column", "NAME", "compare groups: supplier, place, kind"},
                  {"--cost-planned", "C", "of a planned renewal: tells the age that costs least"},
                  {"--cost-failure", "C", "of a failure"},
                  confidence_option,
                  picture_option,
                  json_option},
      .example =
          "  boxfettle life bushes.csv --time-column shots --cost-planned 80 --cost-failure 900\n\n"
          "  fits a Weibull distribution to bushes that failed and bushes that still hold, prints shape, "
          "scale\n"
          "  and the shots by which 10 % have failed, each with its interval, and the age at which renewing\n"
          "  them costs least, or that renewing by age wins nothing.\n",
      .run = run};
}

}  // namespace boxfettle
