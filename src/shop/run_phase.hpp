// Where a run is, and whether cores may be made and counted in it now.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/checkpoint.hpp"
#include "shop/verdict.hpp"

namespace boxfettle {

struct RunPhase {
  enum class At { no_run, first_pieces, running, paused, stopped };
  At at = At::no_run;
  std::vector<std::string> why;    // what stops it, each with what to do; empty unless stopped
  std::int64_t good_in_a_row = 0;  // first pieces, of those wanted
  bool operator==(const RunPhase&) const = default;
};

std::string_view name(RunPhase::At at);  // "no-run", "first-pieces", "running", "paused", "stopped"

// Running needs: the first pieces passed, no hold without a concession, every loose piece of the box in it,
// no care so long overdue that it stops the work, and no pause. A stop outweighs all but the absence of a
// run. `shots`: of the open run so far.
RunPhase run_phase(const BoxState& state, const Catalogue& catalogue, std::int64_t shots, UtcTime now);

// Reasons to hold that no concession covers now. `shots` are those of the open run, made since the last
// count.
std::vector<Reason> standing_holds(const BoxState& state, const Catalogue& catalogue, std::int64_t shots,
                                   UtcTime now);

}  // namespace boxfettle
