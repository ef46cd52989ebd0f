// What the record of a box says about the findings of the fault network now: bad cores, inspections, the last
// scan reading and calculations, each as a finding seen or not, with the entry that told it. Everything told
// before the last confirmed cause is closed with it. docs/how/diagnosis.md has the rules.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/diagnosis.hpp"

namespace boxfettle {

enum class ToldBy { core, inspection, reading, calculation };

std::string_view name(ToldBy by);  // "core", "inspection", "reading", "calculation"

struct FaultEvidence {
  std::size_t finding = 0;  // its place in the network
  bool seen = false;        // of a checkpoint: failed
  ToldBy by = ToldBy::core;
  std::string text;  // one sentence
  std::int64_t entry = 0;
  UtcTime at;
  bool operator==(const FaultEvidence&) const = default;
};

struct PresentDoubt {
  std::optional<UtcTime> since;  // when the oldest trouble still there was told; none: nothing is wrong
  std::vector<FaultEvidence> evidence;  // in the order of their entries; of one finding all say the same
  FoundSoFar found;                     // what they come to
  bool operator==(const PresentDoubt&) const = default;
};

PresentDoubt present_doubt(const BoxState& state, const FaultNetwork& network, UtcTime now);

}  // namespace boxfettle
