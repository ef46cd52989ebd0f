// Which cores are in doubt when a property of the box turns out bad: those made since it was last known good.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "shop/box_state.hpp"

namespace boxfettle {

// Cores counted from the one time to before the other; empty when nobody counted them one by one.
using CoresBetween = std::function<std::optional<std::int64_t>(UtcTime from, UtcTime before)>;

struct Suspects {
  std::string property;
  LastTold good;  // the last good evidence; entry 0: there never was any
  LastTold bad;   // what gave the doubt; entry 0 when it stands outside the logbook (a chart)
  std::vector<SuspectsListed::Lot> lots;  // per run, oldest first
  std::int64_t cores = 0;                 // in all lots
  bool whole_life = false;                // no good evidence: every core the box ever made
  std::string sentence;                   // "312 cores in 2 runs since 14 November, when ..."
};

// The property is a checkpoint's id, "reading" (a core's scan that fits), "reading-of-half-upper" or
// "reading-of-half-lower", "pieces" (all loose pieces confirmed) or "condition" (handed back in good order). Cores of a run that lies only partly between the evidence are
// counted by `between`; when nobody counted, the share of the run's time is taken of those made, rounded up:
// rather one core too many. `from` overrides the last good evidence with a time found elsewhere, such as a
// chart's change.
Suspects suspects(const BoxState& state, const std::string& property, const CoresBetween& between,
                  UtcTime now, std::optional<UtcTime> from = {});

// Properties that are bad now and whose cores nobody has listed since they turned bad.
std::vector<std::string> untraced_doubts(const BoxState& state);

}  // namespace boxfettle
