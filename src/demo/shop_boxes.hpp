// The core boxes of the invented shop 'Tarnmoor Castings': what each one is, where it lives, and how its two
// years end.
#pragma once

#include <span>
#include <string_view>

#include "corebox/core_box.hpp"

namespace boxfettle::demo {

enum class Ending {
  fit,
  running,           // at a core station, shooting since this morning
  overdue,           // not looked over for longer than the catalogue allows
  springs_open,      // closes only under its clamps, which is watched
  wrong_piece,       // held: a loose piece does not seat
  loose_handle,      // safety hold
  torn_vents,        // failed a checkpoint that is only watched
  baked_on,          // the same
  at_the_tool_room,  // held while its bushes are renewed
  away,              // lent outside the shop
  missing,           // nobody knows where it stands
  conceded,          // closes not quite; runs by concession
  suspects,          // mended, but cores from before are still in doubt
  strayed,           // found in a bay that is not its own
  new_box,           // registered, never inspected
};

struct ShopBox {
  std::string_view id;
  std::string_view name;
  std::string_view makes;
  Process process;
  BoxMaterial material;
  std::string_view home_place;
  int loose_pieces;
  Ending ending;
};

// Sorted by id. TM-0412, TM-0427 and TM-0455 are the invented cores.
std::span<const ShopBox> shop_boxes();

}  // namespace boxfettle::demo
