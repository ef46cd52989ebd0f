#include "app/fit_command.hpp"

#include <charconv>

#include "app/command_line.hpp"
#include "closing/fit.hpp"
#include "paper/closing_json.hpp"
#include "paper/closing_text.hpp"
#include "paper/json_object.hpp"

namespace boxfettle {
namespace {

double size_of(const std::string& text) {
  double size = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), size);
  if (error != std::errc{} || end != text.data() + text.size())
    throw WrongUse("SIZE_mm takes a number of mm, not '" + text + "'");
  return size;
}

BoxMaterial material_of(const CommandLine& line, std::string_view option, BoxMaterial otherwise) {
  const auto text = line.value(option);
  if (!text) return otherwise;
  const auto material = box_material_named(*text);
  if (!material)
    throw WrongUse(std::string(option) + " takes aluminium, grey-iron, steel, brass, resin or wood, not '" +
                   *text + "'");
  return *material;
}

FitWarmth warmth_of(const CommandLine& line) {
  constexpr double coldest_C = -50, hottest_C = 500;
  FitWarmth warmth;
  warmth.hole_temperature_C =
      line.number("--hole-temp", coldest_C, hottest_C).value_or(warmth.hole_temperature_C);
  warmth.shaft_temperature_C =
      line.number("--shaft-temp", coldest_C, hottest_C).value_or(warmth.shaft_temperature_C);
  warmth.hole_material = material_of(line, "--hole-material", warmth.hole_material);
  warmth.shaft_material = material_of(line, "--shaft-material", warmth.shaft_material);
  return warmth;
}

Answer run(const CommandLine& line) {
  const double size = size_of(line.operand(0));
  const FitWarmth warmth = warmth_of(line);
  const Fit fit = fit_named(line.operand(1));
  const FitResult result = fit_result(size, fit, warmth);
  return {line.has("--json") ? json_text(fit_json(result, fit)) : fit_text(result, fit)};
}

}  // namespace

Command fit_command() {
  return {.name = "fit",
          .purpose = "print the limits of a fit (ISO 286), cold or warm",
          .operands = {"SIZE_mm", "FIT"},
          .options = {{"--hole-temp", "C", "temperature of the hole's part (20)"},
                      {"--shaft-temp", "C", "temperature of the shaft's part (20)"},
                      {"--hole-material", "M", "aluminium, grey-iron, steel (default), brass, resin or wood"},
                      {"--shaft-material", "M", "the same"},
                      json_option},
          .example =
              "  boxfettle fit 12 H7/g6\n"
              "  12 mm H7/g6: clearance\n"
              "    hole  H7  +0 to +18 um\n"
              "    shaft g6  -17 to -6 um\n"
              "    clearance at 20 degC  +6 to +35 um (minus is interference)\n\n"
              "  A pin of 12 g6 in a bush of 12 H7 slides with 0.006 to 0.035 mm. Warm, in aluminium:\n\n"
              "  boxfettle fit 40 H7/g6 --hole-temp 80 --hole-material aluminium --shaft-temp 80\n",
          .run = run};
}

}  // namespace boxfettle
