#include "app/vents_command.hpp"

#include "app/answer_form.hpp"
#include "app/command_line.hpp"
#include "app/progress_line.hpp"
#include "app/venting_input.hpp"
#include "paper/json_object.hpp"
#include "paper/venting_json.hpp"
#include "paper/venting_text.hpp"

namespace boxfettle {
namespace {

VentingStudy study(const VentingInput& input, const VentingSettings& settings) try {
  VentingStudy study = study_venting(input.design, input.box, settings);
  study.notes.insert(study.notes.begin(), input.notes.begin(), input.notes.end());
  return study;
} catch (const InputError& error) {
  throw input.named(error);
}

VentingLines lines_wanted(const CommandLine& line, const CoreBox& box) {
  VentingLines lines = lines_of(box);
  take_line(line, "--slower-at-most", {100000, 1}, lines.slower_at_most);
  take_line(line, "--reached-last", {50}, lines.worst_share);
  take_line(line, "--unpurged-at-most", {100}, lines.unpurged_at_most);
  take_line(line, "--watch-plugged", {100}, lines.plugged_of_limit);
  take_line(line, leak_line_option.name, {100}, lines.leak_at_most);
  return lines;
}

VentingSettings settings_of(const CommandLine& line) {
  VentingSettings settings;
  settings.voxel_mm = line.number("--voxel-mm", 0.01, 100);
  settings.inertia = !line.has("--darcy");
  settings.vent_discharge = line.number("--vent-discharge", 0.05, 1).value_or(settings.vent_discharge);
  settings.land_mm = line.number("--land", 0.1, 1000).value_or(settings.land_mm);
  if (const auto rate = line.number("--plugging", 0.01, 10000))
    settings.plugging = [rate](const std::string&) { return PluggingRate{*rate / 100, "set by --plugging"}; };
  return settings;
}

Answer run(const CommandLine& line) {
  VentingSettings settings = settings_of(line);
  const VentingInput input = read_venting_input(line.operand(0));
  settings.opening_mm = input.opening_mm;
  settings.lines = lines_wanted(line, input.box);
  ProgressLine progress;
  settings.progress = [&](double share, std::string_view step) {
    progress.show(share, step);
    return true;
  };
  const VentingStudy result = study(input, settings);
  Answer answer =
      answer_in(line, input.files(),
                {[&](const std::vector<InputFile>& inputs) { return json_text(vents_json(result, inputs)); },
                 [&] { return vents_text(result); },
                 {}});
  if (line.has("--gate") && result.verdict == VentingVerdict::hold) answer.exit_code = exit_held;
  return answer;
}

}  // namespace

Command vents_command() {
  return {
      .name = "vents",
      .purpose = "tell which vent matters most to gassing, how far each may plug, and where air is shut in",
      .operands = {"BOX.toml"},
      .options = {{"--voxel-mm", "H", "edge of a cell (default: by the core's size and thickness)"},
                  {"--darcy", "", "leave the inertia of the gas out"},
                  {"--plugging", "%", "open area a vent loses in an hour (default: hourly cleaning)"},
                  {"--slower-at-most", "%",
                   "that the part reached last may be reached later than with clean vents (50)"},
                  {"--reached-last", "%", "of the core that counts as reached last (5)"},
                  {"--unpurged-at-most", "%", "of the pore space when gassing ends; more is a hold (2)"},
                  {"--watch-plugged", "%", "of a vent's plug limit; more is to be watched (80)"},
                  leak_line_option,
                  vent_discharge_option,
                  land_option,
                  json_option,
                  gate_option},
      .example =
          "  boxfettle vents tm-0412.toml\n\n"
          "  Sends gas from the blow inlets through the packed core to the vents, and prints what each "
          "passes, how\n"
          "  long gas is on its way to the worst places, how much a vent's plugging delays them, how "
          "far each may\n"
          "  plug and when to clean it, where air is shut in while the box fills, and where one more "
          "vent would help.\n\n"
          "  boxfettle vents tm-0412.toml --plugging 15 --voxel-mm 1.5 --json\n",
      .run = run};
}

}  // namespace boxfettle
