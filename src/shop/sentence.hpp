// An entry as one sentence for people.
#pragma once

#include <string>

#include "shop/entry.hpp"

namespace boxfettle {

// "Inspected 11 checkpoints: dowels failed (0.12 mm; left pin loose)." Without time, person or box: those
// stand beside it.
std::string sentence(const Entry& entry);

// With a full stop, unless whoever wrote it has ended it already.
std::string ended(std::string text);

}  // namespace boxfettle
