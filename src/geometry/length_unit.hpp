// The unit a file's numbers are in. STL, OBJ, PLY and text points do not say; STEP does.
#pragma once

#include <optional>
#include <string_view>

namespace boxfettle {

enum class LengthUnit { mm, cm, m, inch };

double mm_per(LengthUnit unit);
std::string_view name(LengthUnit unit);  // "mm", "cm", "m", "inch"
std::optional<LengthUnit> length_unit_named(
    std::string_view text);  // empty when the name is none of the four

}  // namespace boxfettle
