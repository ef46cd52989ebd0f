// What confirmed causes teach: priors and link strengths as Beta counts. docs/how/diagnosis.md says how
// credit is given.
#pragma once

#include <set>
#include <span>

#include "shop/fault_network.hpp"

namespace boxfettle {

// One trouble whose cause was found for certain.
struct TaughtCause {
  std::size_t fault = 0;
  std::set<std::size_t> seen, not_seen;  // findings looked for; the rest says nothing
};

// Shipped chance as a Beta of this many invented cases; a choice, from memory of no source.
inline constexpr double shipped_counts_as = 10;

struct LearntChance {
  double shipped = 0;
  double yes = 0, no = 0;  // counts from confirmed causes; a credit may be a part of one

  double now() const { return (shipped * shipped_counts_as + yes) / (shipped_counts_as + yes + no); }
};

struct LearntFault {
  LearntChance prior;
  std::vector<LearntChance> links;  // in the order of Fault::links
};

// A fold: no state is kept, so forgetting the causes (none given) is the reset. Their order does not matter.
std::vector<LearntFault> learnt(const FaultNetwork& shipped, std::span<const TaughtCause> causes);

// The shipped network with its chances as they are now.
FaultNetwork with_learnt(FaultNetwork shipped, std::span<const LearntFault> learnt);

}  // namespace boxfettle
