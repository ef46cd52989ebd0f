// Which fault is behind the present doubt about a box, why it is thought so, and what to look at next.
#pragma once

#include <optional>
#include <vector>

#include "shop/checkpoint.hpp"
#include "shop/next_check.hpp"
#include "shop/present_doubt.hpp"

namespace boxfettle {

struct WeighedFinding {
  std::size_t finding = 0;
  bool seen = false;
  double without = 0;  // the fault's probability if nobody knew of this finding
};

struct FaultInDoubt {
  std::size_t fault = 0;
  double probability = 0;
  double before = 0;                    // any evidence
  std::vector<std::size_t> explains;    // findings seen that this fault can bring
  std::vector<WeighedFinding> weighed;  // those that move it by a hundredth or more, the weightiest first
};

struct BoxDiagnosis {
  PresentDoubt doubt;
  std::vector<FaultInDoubt> faults;  // most probable first
  std::vector<NextCheck> checks;     // best first; only checkpoints of the catalogue
};

// `network` with what was learnt. None where `diagnose` tells nothing; `doubt` is then still to be had.
std::optional<BoxDiagnosis> diagnose_box(PresentDoubt doubt, const FaultNetwork& network,
                                         const Catalogue& catalogue);

}  // namespace boxfettle
