// What lies on the tool-room's shelf: what was counted last, less what jobs begun since have taken.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/shop_state.hpp"

namespace boxfettle {

struct SpareOnShelf {
  std::string spare;
  std::string words;
  bool counted = false;  // false: jobs need it, but nobody has ever counted it; it is taken as none
  std::int64_t there = 0;
  std::int64_t minimum = 0;
  std::int64_t ordered = 0;
  std::optional<UtcTime> arrives;
  std::int64_t wanted = 0;  // by open jobs not begun

  std::int64_t below_minimum() const { return there < minimum ? minimum - there : 0; }
  std::int64_t missing() const { return wanted > there ? wanted - there : 0; }  // ordered ones do not count
  // Ordered ones that a plan may count on; those that should have come already must be asked after first.
  std::int64_t coming(UtcTime now) const { return arrives && now < *arrives ? ordered : 0; }
  bool delivery_overdue(UtcTime now) const { return ordered > 0 && arrives && *arrives <= now; }
};

// By spare's name.
std::vector<SpareOnShelf> spares_on_shelf(const ShopState& shop,
                                          std::span<const std::shared_ptr<const BoxState>> boxes);

}  // namespace boxfettle
