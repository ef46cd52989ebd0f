#include "shop/cause_learning.hpp"

namespace boxfettle {
namespace {

// Chance that the link fired, given the finding and that fault and leak alone could have brought it. It uses
// the shipped strength, so that the order of causes does not matter.
double credit(double strength, double leak) {
  const double seen = 1 - (1 - strength) * (1 - leak);
  return seen > 0 ? strength / seen : 0;
}

void learn_link(LearntChance& chance, const FaultLink& link, const FaultNetwork& network,
                const TaughtCause& cause) {
  if (cause.seen.contains(link.finding)) {
    const double share = credit(link.strength, network.findings[link.finding].leak);
    chance.yes += share;
    chance.no += 1 - share;
  } else if (cause.not_seen.contains(link.finding)) {
    chance.no += 1;
  }
}

std::vector<LearntFault> nothing_learnt(const FaultNetwork& shipped) {
  std::vector<LearntFault> all;
  for (const Fault& fault : shipped.faults) {
    all.push_back({{fault.prior}, {}});
    for (const FaultLink& link : fault.links) all.back().links.push_back({link.strength});
  }
  return all;
}

}  // namespace

std::vector<LearntFault> learnt(const FaultNetwork& shipped, std::span<const TaughtCause> causes) {
  std::vector<LearntFault> all = nothing_learnt(shipped);
  for (const TaughtCause& cause : causes) {
    for (std::size_t i = 0; i < all.size(); ++i) (i == cause.fault ? all[i].prior.yes : all[i].prior.no) += 1;
    const Fault& fault = shipped.faults[cause.fault];
    for (std::size_t k = 0; k < fault.links.size(); ++k)
      learn_link(all[cause.fault].links[k], fault.links[k], shipped, cause);
  }
  return all;
}

FaultNetwork with_learnt(FaultNetwork shipped, std::span<const LearntFault> learnt) {
  for (std::size_t i = 0; i < learnt.size(); ++i) {
    shipped.faults[i].prior = learnt[i].prior.now();
    for (std::size_t k = 0; k < learnt[i].links.size(); ++k)
      shipped.faults[i].links[k].strength = learnt[i].links[k].now();
  }
  return shipped;
}

}  // namespace boxfettle
