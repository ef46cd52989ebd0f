// The hint behind "did you mean": which known name a misspelt one was most likely meant to be.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace boxfettle {

// The known name that `text` is without its unit ("pin" for "pin_mm"); else the one the fewest single-letter
// slips away from it; empty when none is near enough to be meant.
std::string_view nearest_name(std::string_view text, std::span<const std::string_view> known);

// "did you mean 'pin_mm'?" when one is near; else "known here: a, b, c".
std::string name_hint(std::string_view text, std::span<const std::string_view> known);

}  // namespace boxfettle
