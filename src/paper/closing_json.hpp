// How a box closes, as the JSON objects that the command line prints and the page reads.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "closing/cavity_footprint.hpp"
#include "closing/core_weight.hpp"
#include "closing/dowel_check.hpp"
#include "closing/fit.hpp"
#include "closing/parting_gap.hpp"
#include "paper/input_file.hpp"

namespace boxfettle {

// Keys as promised by `boxfettle dowels`, `fit` and `gap` with --json; what cannot be told is left out, never
// NaN. Places are in the parting face's own axes, which the object gives.
nlohmann::ordered_json dowel_check_json(const DowelCheck& check, const CoreBox& box,
                                        const std::vector<InputFile>& inputs);
nlohmann::ordered_json fit_json(const FitResult& result, const Fit& fit);
nlohmann::ordered_json parting_gap_json(const PartingGap& gap, const CoreBox& box,
                                        const std::vector<InputFile>& inputs);

// Weighed cores beside the feelers.
struct WeightsBesideFeelers {
  WeightWitness weights;
  double right_weight_g;
  std::optional<WitnessesCompared> compared;  // absent without feelers that suffice
};
nlohmann::ordered_json weights_json(const WeightsBesideFeelers& both);

// What stands beside every answer about clamps and halves.
std::vector<std::string> closing_cautions();

}  // namespace boxfettle
