#include "shop/next_check.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

double entropy_bits(double chance) {
  if (chance <= 0 || chance >= 1) return 0;
  return -chance * std::log2(chance) - (1 - chance) * std::log2(1 - chance);
}

bool can_bring(const Fault& fault, const FoundSoFar& found) {
  return std::ranges::any_of(fault.links, [&](const FaultLink& link) {
    const auto looked = found.find(link.finding);
    return looked != found.end() && looked->second;
  });
}

// The faults asked about: those that can have brought something seen; all of them while nothing was seen.
// A fault that has nothing to do with the trouble would else draw the look to itself.
std::vector<std::size_t> asked_about(const FaultNetwork& network, const FoundSoFar& found) {
  const bool all = std::ranges::none_of(found, [](const auto& one) { return one.second; });
  std::vector<std::size_t> faults;
  for (std::size_t i = 0; i < network.faults.size(); ++i)
    if (all || can_bring(network.faults[i], found)) faults.push_back(i);
  return faults;
}

double entropy_bits(const Diagnosis& diagnosis, const std::vector<std::size_t>& faults) {
  double bits = 0;
  for (const std::size_t fault : faults) bits += entropy_bits(diagnosis.probabilities[fault]);
  return bits;
}

std::optional<Diagnosis> with(const FaultNetwork& network, FoundSoFar found, std::size_t finding,
                              bool failed) {
  found[finding] = failed;
  return diagnose(network, found);
}

double expected_bits(const std::optional<Diagnosis>& diagnosis, double chance,
                     const std::vector<std::size_t>& faults) {
  return diagnosis ? chance * entropy_bits(*diagnosis, faults) : 0;
}

void name_most_raised(NextCheck& check, const Diagnosis& now, const Diagnosis& failed) {
  for (std::size_t i = 0; i < now.probabilities.size(); ++i)
    if (failed.probabilities[i] - now.probabilities[i] > check.fault_if_failed - check.fault_now) {
      check.fault = i;
      check.fault_now = now.probabilities[i];
      check.fault_if_failed = failed.probabilities[i];
    }
}

NextCheck looked_ahead(const FaultNetwork& network, const FoundSoFar& found, const Diagnosis& now,
                       std::size_t finding) {
  NextCheck check{.finding = finding, .minutes = *network.findings[finding].minutes};
  const std::vector<std::size_t> faults = asked_about(network, found);
  const auto failed = with(network, found, finding, true);
  const auto passed = with(network, found, finding, false);
  if (failed) check.fails_probability = failed->evidence_probability / now.evidence_probability;
  check.information_bits = entropy_bits(now, faults) -
                           expected_bits(failed, check.fails_probability, faults) -
                           expected_bits(passed, 1 - check.fails_probability, faults);
  if (failed) name_most_raised(check, now, *failed);
  return check;
}

std::string percent(double chance) {
  return std::to_string(std::lround(100 * chance)) + " %";
}

}  // namespace

std::vector<NextCheck> next_checks(const FaultNetwork& network, const FoundSoFar& found) {
  std::vector<NextCheck> checks;
  const auto now = diagnose(network, found);
  if (!now) return checks;
  for (std::size_t i = 0; i < network.findings.size(); ++i)
    if (network.findings[i].minutes && !found.contains(i))
      checks.push_back(looked_ahead(network, found, *now, i));
  std::ranges::stable_sort(checks, std::ranges::greater{}, &NextCheck::bits_per_minute);
  return checks;
}

std::string sentence(const FaultNetwork& network, const NextCheck& check) {
  return "Look at " + network.findings[check.finding].called +
         " next: " + std::to_string(std::lround(std::ceil(check.minutes))) +
         " minutes; if this check fails, '" + network.faults[check.fault].title + "' goes from " +
         percent(check.fault_now) + " to " + percent(check.fault_if_failed) + ".";
}

}  // namespace boxfettle
