// For how many more shots a box is expected to stay within its limits, by what its inspections measured.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "shop/box_state.hpp"
#include "shop/checkpoint.hpp"

namespace boxfettle {

struct ShotsAhead {
  std::optional<std::int64_t> shots;  // it stays so with 95 % probability; absent: cannot be told
  std::string checkpoint;             // the one that gets to its limit first; empty when it cannot be told
  std::string sentence;
  bool operator==(const ShotsAhead&) const = default;
};

// Looks at every checkpoint measured in mm that the catalogue bounds from above: the dowels' shift, how the
// box closes. Each is a line of wear over the shots made (statistics/wear.hpp), set back by repairs; the 5 %
// that one of them gets to its bound sooner are shared among them. Needs four inspections that measured one
// of them, and growth that can be told from none. `run_shots`: made in the open run so far.
ShotsAhead shots_ahead(const BoxState& state, const Catalogue& catalogue, std::int64_t run_shots);

}  // namespace boxfettle
