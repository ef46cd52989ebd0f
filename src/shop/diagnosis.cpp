#include "shop/diagnosis.hpp"

#include <algorithm>
#include <numeric>

namespace boxfettle {
namespace {

// A chance for each set of seen findings that are explained so far; a set is a word of bits.
using ByExplained = std::vector<double>;

struct SeenLink {
  std::size_t bit = 0;
  double strength = 0;
};

struct FaultInView {
  double prior = 0;
  double silent = 1;  // chance, when there, of none of what was not seen
  std::vector<SeenLink> links;
};

// What follows a link that may explain its finding.
void spread(ByExplained& chance, const SeenLink& link) {
  for (std::size_t set = 0; set < chance.size(); ++set)
    if ((set & link.bit) == 0) {
      chance[set | link.bit] += link.strength * chance[set];
      chance[set] *= 1 - link.strength;
    }
}

// The same step asked from its end: the chance of explaining all from each set.
void gather(ByExplained& chance, const SeenLink& link) {
  for (std::size_t set = 0; set < chance.size(); ++set)
    if ((set & link.bit) == 0)
      chance[set] = (1 - link.strength) * chance[set] + link.strength * chance[set | link.bit];
}

ByExplained mixed(const ByExplained& absent, const ByExplained& present, const FaultInView& fault) {
  ByExplained both(absent.size());
  for (std::size_t set = 0; set < both.size(); ++set)
    both[set] = (1 - fault.prior) * absent[set] + fault.prior * fault.silent * present[set];
  return both;
}

ByExplained gathered(ByExplained after, const FaultInView& fault) {
  for (const SeenLink& link : fault.links) gather(after, link);
  return after;
}

ByExplained spread_by(ByExplained before, const FaultInView& fault) {
  for (const SeenLink& link : fault.links) spread(before, link);
  return before;
}

std::map<std::size_t, std::size_t> bits_of_seen(const FoundSoFar& found) {
  std::map<std::size_t, std::size_t> bits;
  for (const auto& [finding, seen] : found)
    if (seen) bits.emplace(finding, std::size_t{1} << bits.size());
  return bits;
}

FaultInView in_view(const Fault& fault, const FoundSoFar& found,
                    const std::map<std::size_t, std::size_t>& bits) {
  FaultInView view{fault.prior, 1, {}};
  for (const FaultLink& link : fault.links) {
    const auto looked = found.find(link.finding);
    if (looked == found.end()) continue;
    if (looked->second)
      view.links.push_back({bits.at(link.finding), link.strength});
    else
      view.silent *= 1 - link.strength;
  }
  return view;
}

// Before any fault: what the leaks alone explain, and that they brought nothing of what was not seen.
ByExplained by_leaks(const FaultNetwork& network, const FoundSoFar& found,
                     const std::map<std::size_t, std::size_t>& bits) {
  ByExplained chance(std::size_t{1} << bits.size(), 0.0);
  chance[0] = 1;
  for (const auto& [finding, seen] : found)
    if (!seen) chance[0] *= 1 - network.findings[finding].leak;
  for (const auto& [finding, bit] : bits) spread(chance, {bit, network.findings[finding].leak});
  return chance;
}

double product_sum(const ByExplained& before, const ByExplained& after) {
  return std::inner_product(before.begin(), before.end(), after.begin(), 0.0);
}

}  // namespace

std::optional<Diagnosis> diagnose(const FaultNetwork& network, const FoundSoFar& found) {
  if (std::ranges::count_if(found, [](const auto& one) { return one.second; }) >
      static_cast<std::ptrdiff_t>(most_things_wrong))
    return std::nullopt;
  const auto bits = bits_of_seen(found);
  std::vector<FaultInView> views;
  for (const Fault& fault : network.faults) views.push_back(in_view(fault, found, bits));

  ByExplained all(std::size_t{1} << bits.size(), 0.0);
  all.back() = 1;
  std::vector<ByExplained> present(views.size());
  for (std::size_t i = views.size(); i-- > 0;) {
    present[i] = gathered(all, views[i]);
    all = mixed(all, present[i], views[i]);
  }

  ByExplained before = by_leaks(network, found, bits);
  Diagnosis answer{product_sum(before, all), {}};
  if (!(answer.evidence_probability > 0)) return std::nullopt;
  for (std::size_t i = 0; i < views.size(); ++i) {
    const double joint = views[i].prior * views[i].silent * product_sum(before, present[i]);
    answer.probabilities.push_back(std::min(1.0, joint / answer.evidence_probability));
    before = mixed(before, spread_by(before, views[i]), views[i]);
  }
  return answer;
}

}  // namespace boxfettle
