#include "shop/box_diagnosis.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

constexpr double worth_telling = 0.01;  // a change of probability that people see in whole per cent

std::vector<std::size_t> explained_by(const Fault& fault, const FoundSoFar& found) {
  std::vector<std::size_t> findings;
  for (const FaultLink& link : fault.links)
    if (const auto looked = found.find(link.finding); looked != found.end() && looked->second)
      findings.push_back(link.finding);
  return findings;
}

std::vector<FaultInDoubt> unweighed(const FaultNetwork& network, const FoundSoFar& found,
                                    const Diagnosis& now) {
  std::vector<FaultInDoubt> faults;
  for (std::size_t i = 0; i < network.faults.size(); ++i)
    faults.push_back(
        {i, now.probabilities[i], network.faults[i].prior, explained_by(network.faults[i], found), {}});
  return faults;
}

// What the faults would be thought of without one finding after the other.
void weigh(std::vector<FaultInDoubt>& faults, const FaultNetwork& network, const FoundSoFar& found) {
  for (const auto& [finding, seen] : found) {
    FoundSoFar less = found;
    less.erase(finding);
    const auto without = diagnose(network, less);
    if (!without) continue;
    for (FaultInDoubt& fault : faults)
      if (std::abs(fault.probability - without->probabilities[fault.fault]) >= worth_telling)
        fault.weighed.push_back({finding, seen, without->probabilities[fault.fault]});
  }
}

void put_weightiest_first(FaultInDoubt& fault) {
  std::ranges::stable_sort(fault.weighed, std::ranges::greater{}, [&](const WeighedFinding& one) {
    return std::abs(fault.probability - one.without);
  });
}

}  // namespace

std::optional<BoxDiagnosis> diagnose_box(PresentDoubt doubt, const FaultNetwork& network,
                                         const Catalogue& catalogue) {
  const auto now = diagnose(network, doubt.found);
  if (!now) return std::nullopt;
  BoxDiagnosis told{std::move(doubt), {}, {}};
  told.faults = unweighed(network, told.doubt.found, *now);
  weigh(told.faults, network, told.doubt.found);
  for (FaultInDoubt& fault : told.faults) put_weightiest_first(fault);
  std::ranges::stable_sort(told.faults, std::ranges::greater{}, &FaultInDoubt::probability);
  for (const NextCheck& check : next_checks(network, told.doubt.found))
    if (catalogue.find(network.findings[check.finding].id) != nullptr) told.checks.push_back(check);
  return told;
}

}  // namespace boxfettle
