// The lines a venting study is judged by. No published figure is known for any of them: they are ours until a
// shop sets its own, and every answer says which.
#pragma once

#include <string>

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
  VentingLine leak_at_most{0.10};      // of the gas, through the parting face; more puts the box on watch
};

}  // namespace boxfettle
