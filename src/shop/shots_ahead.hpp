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

// The dowels' shift may grow to half of the box's mismatch limit (common practice, from memory: what the
// checkpoint asks), its openings to the gap limit. Each is a line of wear over the shots made (statistics/
// wear.hpp), set back by repairs; together they stay within with 95 % when each does with 95 % of its share
// of the risk. Needs four inspections that measured one of them, and growth that can be told from none.
// `run_shots`: made in the open run so far.
ShotsAhead shots_ahead(const BoxState& state, const Catalogue& catalogue, std::int64_t run_shots);

}  // namespace boxfettle
