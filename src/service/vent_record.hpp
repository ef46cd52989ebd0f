// What the shop's record says of a vent: how far it was plugged when somebody last looked, and how fast it
// plugs. A vent check is a measurement of the box called "V2 plugged", in per cent of the vent's open area.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "shop/entry.hpp"
#include "venting/venting_box.hpp"

namespace boxfettle {

inline constexpr std::string_view vent_care = "vents";  // the id of the care rule that cleans them

struct VentCheck {
  UtcTime at;
  double plugged;  // of the open area, 0..1
};

struct VentOnRecord {
  std::optional<double> plugged;  // absent: never checked since it was last cleaned, or never at all
  bool cleaned = false;           // since the last check, so that `plugged` stands for clean
  UtcTime at;                     // of the check or the cleaning, when `plugged` is there
  std::optional<PluggingRate> rate;
};

// The name under which a vent's checks are measured.
std::string plugged_characteristic(const std::string& vent);
bool is_vent_check(std::string_view characteristic);

// `checks` and `entries` (the box's own) oldest first. A rate is told from two checks on that were made
// during a run, at least six minutes after the vents were cleaned or the run began: the line from clean
// through them that leaves the least squares.
VentOnRecord vent_on_record(std::span<const VentCheck> checks, std::span<const Entry> entries);

}  // namespace boxfettle
