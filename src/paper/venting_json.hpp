// What `blow` and `vents` found, as the command line's contract names it.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "paper/input_file.hpp"
#include "venting/blow_study.hpp"
#include "venting/venting_study.hpp"

namespace boxfettle {

nlohmann::ordered_json blow_json(const BlowStudy& study, const std::vector<InputFile>& inputs);
nlohmann::ordered_json vents_json(const VentingStudy& study, const std::vector<InputFile>& inputs);

}  // namespace boxfettle
