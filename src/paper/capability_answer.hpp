// Capability as JSON and in words.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "paper/input_file.hpp"
#include "statistics/capability.hpp"

namespace boxfettle {

struct CapabilityAnswer {
  std::string column;
  ToleranceBand band;
  CapabilitySettings settings;
  Capability capability;
  std::vector<double> values;  // for the picture
  std::vector<std::string> notes;
};

std::vector<std::string> capability_notes(const CapabilityAnswer& answer);
// "cp", "cpk", "pp", "ppk" {value, low, high}; cp and pp only with both limits.
nlohmann::ordered_json capability_json(const CapabilityAnswer& answer, const std::vector<InputFile>& inputs);
std::string capability_text(const CapabilityAnswer& answer);

}  // namespace boxfettle
