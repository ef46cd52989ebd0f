// The invented stories as a logbook: every request goes through the shop's own rules.
#pragma once

#include <span>
#include <vector>

#include "demo/telling.hpp"
#include "shop/checkpoint.hpp"
#include "shop/entry.hpp"

namespace boxfettle::demo {

// One chain from an empty logbook, in order of time. Throws std::logic_error when the shop refuses a telling:
// then the story is wrong.
std::vector<Entry> entries_of(std::span<const Story> stories, const Catalogue& catalogue);

}  // namespace boxfettle::demo
