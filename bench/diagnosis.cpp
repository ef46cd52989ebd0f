// How long a posterior of all faults takes, the next check, and the whole answer the page asks for, by how
// many things are wrong at once; and what learning from many causes costs.
//
//   build/bench/bench/bench_diagnosis
//
// One core, the shipped network. Things wrong are taken in the network's order, defects first.
#include <cstdio>
#include <vector>

#include "shop/box_diagnosis.hpp"
#include "shop/cause_learning.hpp"
#include "stopwatch.hpp"

namespace boxfettle::bench {
namespace {

FoundSoFar wrong(std::size_t count) {
  FoundSoFar found;
  for (std::size_t i = 0; i < count; ++i) found[i] = true;
  return found;
}

// So that no compiler leaves the work out.
double sum_of(const std::optional<Diagnosis>& told) {
  double sum = 0;
  if (told)
    for (const double probability : told->probabilities) sum += probability;
  return sum;
}

void answers() {
  const FaultNetwork& network = shipped_faults();
  double kept = 0;
  std::printf("%-12s %16s %16s %16s\n", "things wrong", "posterior, us", "next check, us",
              "whole answer, us");
  for (const std::size_t count : {0u, 1u, 2u, 4u, 6u, 8u, 10u, 12u, 14u, 16u}) {
    const FoundSoFar found = wrong(count);
    PresentDoubt doubt;
    doubt.found = found;
    const double posterior = median_seconds([&] { kept += sum_of(diagnose(network, found)); });
    const double next =
        median_seconds([&] { kept += static_cast<double>(next_checks(network, found).size()); });
    const double whole = median_seconds([&] {
      kept += static_cast<double>(diagnose_box(doubt, network, shipped_catalogue())->checks.size());
    });
    std::printf("%-12zu %16.1f %16.1f %16.1f\n", count, 1e6 * posterior, 1e6 * next, 1e6 * whole);
  }
  std::printf("(sum of all answers %.6g)\n", kept);
}

void learning() {
  const FaultNetwork& network = shipped_faults();
  std::vector<TaughtCause> causes;
  for (std::size_t i = 0; i < 10'000; ++i)
    causes.push_back(
        {i % network.faults.size(), {i % network.findings.size()}, {(i + 1) % network.findings.size()}});
  double kept = 0;
  const double seconds = median_seconds([&] { kept += learnt(network, causes)[0].prior.now(); });
  std::printf("learning from 10,000 causes: %.2f ms (%.6g)\n", 1e3 * seconds, kept);
}

}  // namespace
}  // namespace boxfettle::bench

int main() {
  std::printf("%s, load %s\n%zu faults, %zu findings\n", boxfettle::bench::processor().c_str(),
              boxfettle::bench::load_average().c_str(), boxfettle::shipped_faults().faults.size(),
              boxfettle::shipped_faults().findings.size());
  boxfettle::bench::answers();
  boxfettle::bench::learning();
}
