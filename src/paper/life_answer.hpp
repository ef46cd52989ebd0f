// The life of pins, bushes, vents and handles, as JSON and in words.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "paper/input_file.hpp"
#include "statistics/renewal_age.hpp"
#include "statistics/weibull_life.hpp"

namespace boxfettle {

struct LifeGroup {
  std::string name;
  std::vector<LifeRecord> records;
};

// What is told when the data tell a life at all.
struct ToldLife {
  WeibullLife life;
  LifeEstimate shape, scale, b10;
  std::optional<RenewalCosts> costs;
  std::optional<RenewalAge> renewal;  // when costs were given
};

struct LifeAnswer {
  std::string column;
  double confidence = 0.95;
  std::vector<LifeRecord> records;
  std::optional<ToldLife> told;
  std::optional<double> b10_at_least;  // when nothing failed: for a shape of 1
  std::vector<LifeGroup> groups;
  std::optional<GroupComparison> comparison;
  std::vector<std::string> notes;
};

std::vector<std::string> life_notes(const LifeAnswer& answer);
// "shape", "scale" {value, low, high}, "b10", "renew_at" (null: do not renew by age).
nlohmann::ordered_json life_json(const LifeAnswer& answer, const std::vector<InputFile>& inputs);
std::string life_text(const LifeAnswer& answer);

}  // namespace boxfettle
