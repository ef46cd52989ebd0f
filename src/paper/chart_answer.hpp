// A control chart as the JSON object that the command line prints and the page reads, and in words.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "paper/input_file.hpp"
#include "statistics/control_chart.hpp"

namespace boxfettle {

struct ChartAnswer {
  std::string column;  // what was measured
  ChartSettings settings;
  ControlChart chart;
  std::vector<std::string> labels;  // of each point: its subgroup, or its number
  std::vector<std::string> notes;
};

// What the limits, run lengths and interval suppose, to stand beside the caller's own notes.
std::vector<std::string> chart_notes(const ChartAnswer& answer);

// "kind", "limits" {centre, lower, upper}, "spread" {...}, "points"[], "signals"[] {index, rule}, "rules"[],
// "run_length", "changes"[], "notes". Indices count from 0.
nlohmann::ordered_json chart_json(const ChartAnswer& answer, const std::vector<InputFile>& inputs);
// The same, printed; for charts of very many points.
std::string chart_json_text(const ChartAnswer& answer, const std::vector<InputFile>& inputs);
std::string chart_text(const ChartAnswer& answer);
// "The level moved between 312 and 340, most likely at 325, ...", or "The level drifts, ...", by the points'
// labels.
std::string change_sentence(const ChartAnswer& answer, const ChartChange& change);

}  // namespace boxfettle
