// What a box is fit for, and why. Pure: the same entries, catalogue and time give the same verdict.
//
//   open safety hold, or a safety checkpoint that last failed    hold (safety)
//   scrapped, in quarantine, a loose piece missing               hold
//   open hold, a hold checkpoint that last failed, last scan,
//   a figure computed from what was measured                     hold; watch while a concession covers it
//   a watch checkpoint that last failed, last scan               watch
//   checkpoints never looked at                                  watch
//   suspect cores not dealt with                                 watch
//   results older than the catalogue's `inspect_again_after`     watch (that age is common practice, and
//   editable) a note checkpoint that last failed, a scan that cannot tell  told, but the box stays what it is
//
// Age and 'never looked at' are judged per checkpoint: re-checking one dowel does not renew the whole
// inspection.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/checkpoint.hpp"
#include "shop/utc_time.hpp"

namespace boxfettle {

enum class Fitness { fit, watch, hold };

std::string_view name(Fitness fitness);  // "fit", "watch", "hold"

struct Reason {
  Fitness state = Fitness::fit;  // what it makes of the box; `fit` only tells something
  std::string text;              // floor words, one sentence
  std::int64_t entry = 0;        // the logbook entry it rests on
  bool safety = false;           // no role can waive it
  bool operator==(const Reason&) const = default;
};

struct Verdict {
  Fitness state = Fitness::fit;  // the hardest of the reasons
  std::vector<Reason> reasons;   // safety first, then hold, watch, and what is only told
  bool operator==(const Verdict&) const = default;
};

// `run_shots`: counted by a machine in the open run so far; a concession by shots runs out on them, or on
// those people told when they are more.
Verdict verdict(const BoxState& state, const Catalogue& catalogue, UtcTime now, std::int64_t run_shots = 0);

}  // namespace boxfettle
