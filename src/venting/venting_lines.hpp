// The lines that the air and gas of a box are judged by. No published figure is known for any of them: they
// are ours until a shop sets its own, in the box file or for one answer, and every answer says which.
#pragma once

#include <string>

#include "corebox/core_box.hpp"

namespace boxfettle {

struct VentingLine {
  double value;
  std::string origin = "Boxfettle's own line, no published figure is known";
};

struct VentingLines {
  // The part of the pore space reached last stands for the worst of the core.
  VentingLine worst_share{0.05};
  // It may take so much longer to be reached than with clean vents and a shut box before a vent counts as
  // plugged too far; never longer than the gassing time.
  VentingLine slower_at_most{1.5};
  VentingLine unpurged_at_most{0.02};  // of the pore space, when gassing ends; more holds the box
  VentingLine plugged_of_limit{0.8};   // of a vent's plug limit; more puts the box on watch
  VentingLine leak_at_most{0.10};      // of air or gas, through the parting face; more puts the box on watch
  // Fill time over that of the box as designed; more puts it on watch, and holds it.
  VentingLine watch_fill_slower{1.10}, hold_fill_slower{1.25};
};

// Those of the box file's [air], the others ours.
VentingLines lines_of(const CoreBox& box);

}  // namespace boxfettle
