#include "app/gap_command.hpp"

#include <optional>

#include "app/closing_box.hpp"
#include "app/command_line.hpp"
#include "closing/parting_gap.hpp"
#include "input/csv_table.hpp"
#include "input/input_error.hpp"
#include "input/whole_file.hpp"
#include "paper/closing_json.hpp"
#include "paper/closing_text.hpp"
#include "paper/json_object.hpp"

namespace boxfettle {
namespace {

PartingGapSettings settings_of(const CommandLine& line) {
  PartingGapSettings settings;
  settings.land_mm = line.number("--land", 0.1, 1000).value_or(settings.land_mm);
  settings.tightening.nut_factor =
      line.number("--nut-factor", 0.05, 1).value_or(settings.tightening.nut_factor);
  if (const auto percent = line.number("--torque-scatter", 0, 90))
    settings.tightening.scatter = *percent / 100;
  settings.feelers.leaf_step_mm =
      line.number("--leaf-step", 0.001, 1).value_or(settings.feelers.leaf_step_mm);
  return settings;
}

std::vector<double> weights_in(const CommandLine& line) {
  const std::string file = *line.value("--weights");
  const CsvTable table(WholeFile(file).text(), file);
  const std::size_t column = table.column(line.value("--column").value_or("weight_g"));
  std::vector<double> weights;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto weight = table.number(row, column);
    if (!weight) continue;
    if (!(*weight > 0))
      throw InputError(file, table.place(row), "a core's weight is not above nothing", "give weights in g");
    weights.push_back(*weight);
  }
  if (weights.size() < 2)
    throw InputError(file, table.columns()[column], "holds fewer than two weights",
                     "weigh at least two cores; five tell more");
  return weights;
}

std::optional<WeightsBesideFeelers> weighed(const CommandLine& line, const ClosingBox& read,
                                            const PartingGap& gap) {
  if (!line.has("--weights")) return std::nullopt;
  if (!read.footprint || !(read.footprint->projected_area_mm2 > 0))
    throw InputError(line.operand(0), "box.design", "is needed to turn weights into an opening",
                     "name the core's design in the box file");
  const double density = read.box.sand.bulk_density_g_cm3, area = read.footprint->projected_area_mm2;
  const double right =
      line.number("--right-weight", 0.01, 1e7).value_or(read.footprint->cavity_volume_mm3 * density / 1000);
  WeightsBesideFeelers both{weight_witness(weights_in(line), right, area, density), right, {}};
  if (gap.growth && gap.added)
    both.compared = compare_witnesses({gap.growth->mean_mm, gap.growth->mean_u95_mm}, both.weights);
  return both;
}

Answer run(const CommandLine& line) {
  const PartingGapSettings settings = settings_of(line);
  for (const char* of_weights : {"--column", "--right-weight"})
    if (line.has(of_weights) && !line.has("--weights"))
      throw WrongUse(std::string(of_weights) + " goes with --weights FILE only");
  const std::string& file = line.operand(0);
  const ClosingBox read = read_closing_box(file);
  const CavityFootprint* const footprint = read.footprint ? &*read.footprint : nullptr;
  refuse_readings_off_the_face(read.box, footprint, file);
  PartingGap gap = parting_gap(read.box, footprint, settings);
  gap.notes.insert(gap.notes.begin(), read.notes.begin(), read.notes.end());
  const auto weights = weighed(line, read, gap);
  Answer answer;
  if (line.has("--json")) {
    nlohmann::ordered_json object = parting_gap_json(gap, read.box, read.inputs);
    if (weights) object["weights"] = weights_json(*weights);
    answer.out = json_text(object);
  } else {
    answer.out = parting_gap_text(gap, read.box) + (weights ? weights_text(*weights) : "");
  }
  if (line.has("--gate") && gap.verdict == ClosingVerdict::hold) answer.exit_code = exit_held;
  return answer;
}

}  // namespace

Command gap_command() {
  return {.name = "gap",
          .purpose = "tell what an open parting face adds, leaks and lets out, why, and what the clamps hold",
          .operands = {"BOX.toml"},
          .options = {{"--weights", "FILE", "weighed cores as CSV: the opening that would explain them"},
                      {"--column", "NAME", "the column of weights in g (weight_g)"},
                      {"--right-weight", "G",
                       "what a core should weigh (default: the design at the sand's bulk density)"},
                      {"--land", "MM", "sealing land that a leak must cross (20)"},
                      {"--leaf-step", "MM", "step between the feeler's leaves (0.05)"},
                      {"--nut-factor", "K", "of T = K d F (0.20; oiled about 0.15, dry and rusty 0.30)"},
                      {"--torque-scatter", "%", "of a bolt's pull, either way (30: torque wrench)"},
                      json_option,
                      gate_option},
          .example =
              "  boxfettle gap tm-0412.toml\n\n"
              "  Lays a plane through the feeler readings (and warp where they show it), and prints the "
              "largest opening\n"
              "  with its uncertainty, what it adds to the core's weight, how much air it leaks beside the "
              "vents, whether\n"
              "  sand gets out, likely causes, and the clamps' force against the blow pressure.\n\n"
              "  boxfettle gap tm-0412.toml --weights cores-today.csv --right-weight 1480\n\n"
              "  sets weighed cores beside the feelers and says whether the two agree.\n",
          .run = run};
}

}  // namespace boxfettle
