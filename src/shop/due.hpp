// What falls due in the shop, and whose business it is: the one list that notices and the calendar are made from.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/checkpoint.hpp"
#include "shop/role.hpp"
#include "shop/shop_state.hpp"

namespace boxfettle {

struct DueItem {
  enum class What { run, inspection, care, concession, delivery, trace, job };
  What what = What::run;
  std::string id;           // the same as long as it is the same thing: "run TM-0412/P2"
  std::string box;          // empty: the shop's
  std::string text;         // one sentence
  UtcTime at;               // when it is due
  std::int64_t entry = 0;   // the logbook entry it rests on; 0 where there is none
  std::vector<Role> roles;  // whose business it is
};

std::string_view name(DueItem::What what);  // "run", "inspection", "care", "concession", "delivery", "trace", "job"

// By the time they are due. Planned runs; the inspection of each box that is not scrapped; care by the calendar,
// and by the clock in open runs; concessions that end; deliveries of spares; lists of suspect cores that are not
// closed (due at once); jobs begun and not finished by the hours they were given (due then).
std::vector<DueItem> due_items(const ShopState& shop, std::span<const std::shared_ptr<const BoxState>> boxes,
                               const Catalogue& catalogue, UtcTime now);

}  // namespace boxfettle
