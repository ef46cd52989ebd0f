// Calculations told to the logbook, so that they stand among the reasons of a box's verdict.
#pragma once

#include <span>
#include <string>

#include "service/live_shop.hpp"
#include "shop/box_state.hpp"

namespace boxfettle {

// A verdict other than fit, or fit where the last one told of the same was not.
bool worth_telling(const Computed& figure, const BoxState& state);

// `cause` is the request they follow from: when that is sent again, they are not told twice.
void tell_figures(std::span<const Computed> figures, const std::string& box, const std::string& cause,
                  const Person& person, LiveShop& shop, UtcTime now);

}  // namespace boxfettle
