// What an inspection measured on dowels and parting face, calculated through and told to the logbook as a
// reason of the verdict.
#pragma once

#include <vector>

#include "service/closing_study.hpp"
#include "shop/box_state.hpp"
#include "shop/entry.hpp"

namespace boxfettle {

// The calculations whose measured values came with the box's last inspection. None without measured values.
std::vector<Computed> closing_figures(const ClosingStudy& study, const BoxState& state);

}  // namespace boxfettle
