#include "app/dowels_command.hpp"

#include "app/closing_box.hpp"
#include "app/command_line.hpp"
#include "closing/dowel_check.hpp"
#include "input/input_error.hpp"
#include "paper/closing_json.hpp"
#include "paper/closing_text.hpp"
#include "paper/json_object.hpp"

namespace boxfettle {
namespace {

constexpr double coldest_C = -50, hottest_C = 500;

DowelCheckSettings settings_of(const CommandLine& line) {
  DowelCheckSettings settings;
  settings.lower_temperature_C =
      line.number("--lower-temperature", coldest_C, hottest_C).value_or(settings.lower_temperature_C);
  settings.upper_temperature_C =
      line.number("--upper-temperature", coldest_C, hottest_C).value_or(settings.upper_temperature_C);
  if (const auto draws = line.number("--draws", 1000, 1e8)) settings.likely.draws = static_cast<int>(*draws);
  return settings;
}

Answer run(const CommandLine& line) {
  const DowelCheckSettings settings = settings_of(line);
  const std::string& file = line.operand(0);
  ClosingBox read = read_closing_box(file);
  if (const auto fit = line.value("--as-new")) {
    read.box = with_new_fit(read.box, fit_named(*fit));
    read.notes.push_back("Pins and bushes were taken at their nominal sizes, as loose as " + *fit +
                         " allows, instead of as measured.");
  }
  DowelCheck check = [&] {
    try {
      return dowel_check(
          read.box, read.footprint ? read.footprint->outline_points_mm() : std::vector<Eigen::Vector2d>{},
          settings);
    } catch (const InputError& error) {
      throw InputError(file, error.place(), error.fault(), error.mend());
    }
  }();
  check.notes.insert(check.notes.begin(), read.notes.begin(), read.notes.end());
  Answer answer{line.has("--json") ? json_text(dowel_check_json(check, read.box, read.inputs))
                                   : dowel_check_text(check, read.box)};
  if (line.has("--gate") && check.verdict == ClosingVerdict::hold) answer.exit_code = exit_held;
  return answer;
}

}  // namespace

Command dowels_command() {
  return {.name = "dowels",
          .purpose = "tell how far apart pins and bushes let the halves stand, and what to renew",
          .operands = {"BOX.toml"},
          .options = {{"--as-new", "FIT",
                       "take pins and bushes at nominal size and this fit (H7/g6), as loose as it allows"},
                      {"--lower-temperature", "C",
                       "of the lower half (20); sizes in the box file hold at 20 degC"},
                      {"--upper-temperature", "C", "of the upper half (20)"},
                      {"--draws", "N", "positions drawn for the likely shift (20000)"},
                      json_option,
                      gate_option},
          .example =
              "  boxfettle dowels tm-0412.toml\n\n"
              "  Two round pins 280 mm apart with 0.05 mm of clearance each let the upper half move 0.025 mm "
              "and turn\n"
              "  0.01 degrees. Printed are the worst shift over the cavity's outline and at each watch "
              "point, the\n"
              "  likely one, what each pin's wear alone would add, and, when the worst is beyond "
              "limits.mismatch_mm,\n"
              "  the cheapest new pins and bushes that bring it back.\n\n"
              "  boxfettle dowels tm-0412.toml --upper-temperature 60 --json\n\n"
              "  does the same for a warm upper half on a cold lower one.\n",
          .run = run};
}

}  // namespace boxfettle
