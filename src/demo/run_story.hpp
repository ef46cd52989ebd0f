// A run of an invented box, as the people at its station would have told it.
#pragma once

#include <cstdint>
#include <string>

#include "demo/dice.hpp"
#include "demo/shop_boxes.hpp"
#include "demo/telling.hpp"

namespace boxfettle::demo {

struct RunOfOneDay {
  UtcTime from;  // when the box is set on its station
  std::string station;
  bool care_told = true;  // before the shop had the care clock on a tablet, care was kept on paper
};

// From the opening to the count: first pieces, three counts of cores, the shift's change, care, perhaps a
// defect. It ends fifteen hours after `from`. The box has passed its opening inspection.
void tell_run(Story& story, const ShopBox& box, const RunOfOneDay& run, Dice& dice);

// A run since two and a half hours before `now`: its first pieces passed, its vents overdue, fins seen on
// three cores.
void tell_run_in_progress(Story& story, const ShopBox& box, UtcTime now, Dice& dice);

}  // namespace boxfettle::demo
