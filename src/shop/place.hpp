// Where a box or a loose piece is. It is always somewhere.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace boxfettle {

struct Place {
  enum class Kind { bay, station, tool_room, outside_shop, missing };
  Kind kind = Kind::bay;
  std::string text;  // "Rack B, bay 3"

  bool operator==(const Place&) const = default;
};

std::string_view name(Place::Kind kind);  // "bay", "station", "tool-room", "outside-shop", "missing"
std::optional<Place::Kind> place_kind_named(std::string_view text);

}  // namespace boxfettle
