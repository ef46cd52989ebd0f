// What goes wrong with the invented boxes, and what the tool-room does about it.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "demo/shop_boxes.hpp"
#include "shop/entry.hpp"

namespace boxfettle::demo {

struct Trouble {
  std::string_view checkpoint;
  std::optional<double> measured;
  std::string_view found;
  std::string_view mended;
  std::string_view skill;
  double hours = 1;              // the job takes
  std::string_view component{};  // renewed by it; empty when none is
  std::int64_t spares = 0;       // of that component
};

std::span<const Trouble> ordinary_troubles();

// Those a box's two years end with.
const Trouble& trouble_at_the_end(Ending ending);

}  // namespace boxfettle::demo
