// How probable each fault is, given what was found. Exact: no sampling, and no differences of large terms,
// so rare evidence loses no digits. Method: docs/how/diagnosis.md.
#pragma once

#include <map>
#include <vector>

#include "shop/fault_network.hpp"

namespace boxfettle {

// By the finding's place in the network: true where seen (a checkpoint: failed), false where looked for
// and not seen (passed). What nobody looked for is left out.
using FoundSoFar = std::map<std::size_t, bool>;

inline constexpr std::size_t most_things_wrong = 16;  // memory and time double with each

struct Diagnosis {
  double evidence_probability = 0;    // of all that was found
  std::vector<double> probabilities;  // of each fault, in the network's order
};

// None when more than most_things_wrong were seen, or when the network gives the evidence no chance at all.
std::optional<Diagnosis> diagnose(const FaultNetwork& network, const FoundSoFar& found);

}  // namespace boxfettle
