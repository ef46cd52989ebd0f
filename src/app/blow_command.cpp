#include "app/blow_command.hpp"

#include "app/answer_form.hpp"
#include "app/command_line.hpp"
#include "app/venting_input.hpp"
#include "paper/json_object.hpp"
#include "paper/venting_json.hpp"
#include "paper/venting_text.hpp"

namespace boxfettle {
namespace {

BlowStudy study(const VentingInput& input, const BlowSettings& settings) try {
  BlowStudy study = study_blowing(input.design, input.box, settings);
  study.notes.insert(study.notes.begin(), input.notes.begin(), input.notes.end());
  return study;
} catch (const InputError& error) {
  throw input.named(error);
}

VentingLines lines_wanted(const CommandLine& line, const CoreBox& box) {
  VentingLines lines = lines_of(box);
  take_line(line, "--watch-slower", {100000, 1}, lines.watch_fill_slower);
  take_line(line, "--hold-slower", {100000, 1}, lines.hold_fill_slower);
  take_line(line, leak_line_option.name, {100}, lines.leak_at_most);
  return lines;
}

Answer run(const CommandLine& line) {
  BlowSettings settings;
  settings.vent_discharge = line.number("--vent-discharge", 0.05, 1).value_or(settings.vent_discharge);
  settings.sand_discharge = line.number("--sand-discharge", 0.05, 1).value_or(settings.sand_discharge);
  settings.land_mm = line.number("--land", 0.1, 1000).value_or(settings.land_mm);
  const VentingInput input = read_venting_input(line.operand(0));
  settings.opening_mm = input.opening_mm;
  settings.lines = lines_wanted(line, input.box);
  const BlowStudy result = study(input, settings);
  Answer answer =
      answer_in(line, input.files(),
                {[&](const std::vector<InputFile>& inputs) { return json_text(blow_json(result, inputs)); },
                 [&] { return blow_text(result); },
                 {}});
  if (line.has("--gate") && result.verdict == VentingVerdict::hold) answer.exit_code = exit_held;
  return answer;
}

}  // namespace

Command blow_command() {
  return {.name = "blow",
          .purpose = "tell how fast a box fills, its back pressure, and which way the air leaves",
          .operands = {"BOX.toml"},
          .options = {vent_discharge_option,
                      {"--sand-discharge", "C", "of the sand's stream through a blow tube (0.6)"},
                      land_option,
                      {"--watch-slower", "%", "to fill than as designed; more is to be watched (10)"},
                      {"--hold-slower", "%", "to fill than as designed; more is a hold (25)"},
                      leak_line_option,
                      json_option,
                      gate_option},
          .example =
              "  boxfettle blow tm-0412.toml\n\n"
              "  Fills the box by its blow pressure, magazine, tubes, vents (plugged as the file says) and "
              "parting\n"
              "  gap (as the feelers found it), and prints the time, the pressure in the cavity, each "
              "path's share of\n"
              "  the air, the same for the box as designed, and what would bring the design back.\n",
          .run = run};
}

}  // namespace boxfettle
