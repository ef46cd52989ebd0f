// A YAML document as JSON.
#pragma once

#include <nlohmann/json.hpp>
#include <string_view>

namespace boxfettle::contract {

// Throws std::runtime_error naming the line. Plain true, false, null and numbers are what they look like;
// everything quoted or folded is text.
nlohmann::json json_of_yaml(std::string_view text);

}  // namespace boxfettle::contract
