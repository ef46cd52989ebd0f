#include "geometry/length_unit.hpp"

#include <array>
#include <utility>

namespace boxfettle {
namespace {

struct NamedUnit {
  LengthUnit unit;
  std::string_view name;
  double mm;
};
constexpr std::array<NamedUnit, 4> units{{{LengthUnit::mm, "mm", 1.0},
                                          {LengthUnit::cm, "cm", 10.0},
                                          {LengthUnit::m, "m", 1000.0},
                                          {LengthUnit::inch, "inch", 25.4}}};

const NamedUnit& entry(LengthUnit unit) {
  return units[static_cast<std::size_t>(unit)];
}

}  // namespace

double mm_per(LengthUnit unit) {
  return entry(unit).mm;
}
std::string_view name(LengthUnit unit) {
  return entry(unit).name;
}

std::optional<LengthUnit> length_unit_named(std::string_view text) {
  for (const NamedUnit& unit : units)
    if (unit.name == text) return unit.unit;
  return std::nullopt;
}

}  // namespace boxfettle
