// A gauge study as JSON and in words.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "paper/input_file.hpp"
#include "statistics/gauge_study.hpp"

namespace boxfettle {

struct GaugeAnswer {
  std::string column;
  GaugeSettings settings;
  GaugeStudy study;
  std::vector<GaugeReading> readings;  // for the picture
  std::vector<std::string> notes;
};

std::vector<std::string> gauge_notes(const GaugeAnswer& answer);
// "variance" {repeatability, reproducibility, ...}, "grr_percent", "ndc"
nlohmann::ordered_json gauge_json(const GaugeAnswer& answer, const std::vector<InputFile>& inputs);
std::string gauge_text(const GaugeAnswer& answer);

}  // namespace boxfettle
