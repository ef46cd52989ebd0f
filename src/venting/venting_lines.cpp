#include "venting/venting_lines.hpp"

namespace boxfettle {

VentingLines lines_of(const CoreBox& box) {
  VentingLines lines;
  // `beyond` is what a line in per cent is said on top of: 1 for those that are ratios.
  const auto take = [](const std::optional<double>& percent, double beyond, VentingLine& into) {
    if (percent) into = {beyond + *percent / 100, "the box file's own"};
  };
  const AirLines& own = box.air.lines;
  take(own.reached_last, 0, lines.worst_share);
  take(own.slower_at_most, 1, lines.slower_at_most);
  take(own.unpurged_at_most, 0, lines.unpurged_at_most);
  take(own.watch_plugged, 0, lines.plugged_of_limit);
  take(own.leak_at_most, 0, lines.leak_at_most);
  take(own.watch_fill_slower, 1, lines.watch_fill_slower);
  take(own.hold_fill_slower, 1, lines.hold_fill_slower);
  return lines;
}

}  // namespace boxfettle
