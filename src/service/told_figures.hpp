// Calculations told to the logbook, so that they stand among the reasons of a box's verdict.
#pragma once

#include <span>
#include <string>

#include "service/live_shop.hpp"
#include "shop/box_state.hpp"

namespace boxfettle {

// A verdict other than fit, or fit where the last one told of the same was not. What stands there already,
// word for word and resting on the same, is not: a concession given for it goes on.
bool worth_telling(const Computed& figure, const BoxState& state);

// Those worth telling. `cause` is the request they follow from: when that is sent again, they are not told
// twice.
void tell_figures(std::span<const Computed> figures, const std::string& box, const std::string& cause,
                  const Person& person, LiveShop& shop, UtcTime now);

}  // namespace boxfettle
