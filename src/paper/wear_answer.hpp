// Wear, shots left and when to measure next, as JSON and in words.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "paper/input_file.hpp"
#include "statistics/measuring_interval.hpp"
#include "statistics/wear.hpp"

namespace boxfettle {

struct WearAnswer {
  WearSettings settings;
  IntervalSettings asked;
  Wear wear;
  MeasuringInterval interval;
  std::vector<WearReading> readings;  // for the picture
  std::vector<std::string> notes;
};

std::vector<std::string> wear_notes(const WearAnswer& answer);
// "rate_mm_per_1000" {value, low, high}, "shots_to_limit" {p05, p50, p95} counted from "now_shots",
// "measure_every_shots", "measure_every_months".
nlohmann::ordered_json wear_json(const WearAnswer& answer, const std::vector<InputFile>& inputs);
std::string wear_text(const WearAnswer& answer);

}  // namespace boxfettle
