// What every JSON answer has in common: who made it from which files, and numbers that are left out where
// they cannot be told.
#pragma once

#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "paper/input_file.hpp"
#include "statistics/estimate.hpp"

namespace boxfettle {

// {"boxfettle": version, "inputs": [{file, size, sha256}]}, to be filled further.
nlohmann::ordered_json json_object(const std::vector<InputFile>& inputs);

// Indented, with a newline; text that is no UTF-8 is mended.
std::string json_text(const nlohmann::ordered_json& object);
// The same, the empty list at `key` filled with so many items, made one by one: only their text is kept.
std::string json_text(const nlohmann::ordered_json& object, std::string_view key, std::size_t count,
                      const std::function<nlohmann::ordered_json(std::size_t)>& item);

// Left out when the number is not finite or not there: never NaN.
inline void put(nlohmann::ordered_json& object, const char* key, double value) {
  if (std::isfinite(value)) object[key] = value;
}
inline void put(nlohmann::ordered_json& object, const char* key, const std::optional<double>& value) {
  if (value) put(object, key, *value);
}
// {value, low, high}
void put(nlohmann::ordered_json& object, const char* key, const Estimate& estimate);
void put(nlohmann::ordered_json& object, const char* key, const std::optional<Estimate>& estimate);

}  // namespace boxfettle
