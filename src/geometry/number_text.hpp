// A number as exporters write it.
#pragma once

#include <charconv>
#include <cstdint>
#include <limits>
#include <optional>
#include <string_view>

namespace boxfettle {

// The whole word as a number ("+1.5e-3" too); empty when it is none. One too large for a double comes back
// infinite, so that whoever asks refuses it by its size and not as garbage.
inline std::optional<double> number_in(std::string_view word) {
  if (word.starts_with('+') && !word.starts_with("+-")) word.remove_prefix(1);
  double value = 0;
  const char* const end = word.data() + word.size();
  const auto [stopped, error] = std::from_chars(word.data(), end, value);
  if (stopped != end || error == std::errc::invalid_argument) return std::nullopt;
  if (error == std::errc::result_out_of_range) {
    const bool tiny = word.find("e-") != std::string_view::npos || word.find("E-") != std::string_view::npos;
    return tiny ? 0.0 : std::numeric_limits<double>::infinity();
  }
  return value;
}

inline std::optional<std::int64_t> whole_number_in(std::string_view word) {
  std::int64_t value = 0;
  const char* const end = word.data() + word.size();
  const auto [stopped, error] = std::from_chars(word.data(), end, value);
  if (stopped != end || error != std::errc{}) return std::nullopt;
  return value;
}

}  // namespace boxfettle
