// The shipped fault network asked of R, which knows nothing of our method: it sums over every set of faults.
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <limits>
#include <set>
#include <sstream>

#include "shop/diagnosis.hpp"
#include "statistics/random_numbers.hpp"
#include "stories/program_run.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_faults = 15;  // R sums over two to the power of these

std::size_t faults_asked(const FaultNetwork& network, const FoundSoFar& found) {
  std::set<std::size_t> asked;
  for (std::size_t i = 0; i < network.faults.size(); ++i)
    for (const FaultLink& link : network.faults[i].links)
      if (found.contains(link.finding)) asked.insert(i);
  return asked.size();
}

// Every finding alone, seen and not; then drawn ones of two to five findings.
std::vector<FoundSoFar> cases_of(const FaultNetwork& network) {
  std::vector<FoundSoFar> cases;
  const std::size_t findings = network.findings.size();
  for (std::size_t finding = 0; finding < findings; ++finding)
    for (const bool seen : {true, false}) cases.push_back({{finding, seen}});
  RandomNumbers random(17);
  const auto below = [&](std::size_t count) {
    return std::min(count - 1, static_cast<std::size_t>(random.uniform() * static_cast<double>(count)));
  };
  while (cases.size() < 2 * findings + 40) {
    FoundSoFar drawn;
    for (std::size_t i = 2 + below(4); i > 0; --i) drawn[below(findings)] = random.uniform() < 0.6;
    if (faults_asked(network, drawn) <= most_faults) cases.push_back(drawn);
  }
  return cases;
}

void write_tables(const fs::path& folder, const FaultNetwork& network, const std::vector<FoundSoFar>& cases) {
  std::ofstream priors(folder / "priors.csv"), links(folder / "links.csv"), leaks(folder / "leaks.csv"),
      asked(folder / "cases.csv");
  for (std::ofstream* table : {&priors, &links, &leaks})
    table->precision(std::numeric_limits<double>::max_digits10);
  priors << "prior\n";
  links << "fault,finding,strength\n";
  leaks << "leak\n";
  asked << "case,finding,seen\n";
  for (std::size_t i = 0; i < network.faults.size(); ++i) {
    priors << network.faults[i].prior << '\n';
    for (const FaultLink& link : network.faults[i].links)
      links << i + 1 << ',' << link.finding + 1 << ',' << link.strength << '\n';
  }
  for (const Observable& finding : network.findings) leaks << finding.leak << '\n';
  for (std::size_t c = 0; c < cases.size(); ++c)
    for (const auto& [finding, seen] : cases[c]) asked << c << ',' << finding + 1 << ',' << seen << '\n';
}

TEST(DiagnosisBesideR, EveryPosteriorIsTheSumOverAllSetsOfFaults) {
  const FaultNetwork& network = shipped_faults();
  const std::vector<FoundSoFar> cases = cases_of(network);
  const fs::path folder = fs::temp_directory_path() / ("boxfettle_noisy_or_" + std::to_string(::getpid()));
  fs::create_directories(folder);
  write_tables(folder, network, cases);
  const Ran ran = run_program(
      {BOXFETTLE_RSCRIPT, "--vanilla", BOXFETTLE_SOURCE_DIR "/tests/outside/noisy_or.R", folder.string()},
      folder);
  fs::remove_all(folder);
  ASSERT_EQ(ran.exit_code, 0) << ran.err;
  std::istringstream lines(ran.out);
  std::size_t answered = 0;
  double worst = 0;
  for (std::string line; std::getline(lines, line); ++answered) {
    std::istringstream words(line);
    std::size_t which = 0;
    double evidence = 0;
    words >> which >> evidence;
    const auto ours = diagnose(network, cases.at(which));
    ASSERT_TRUE(ours) << which;
    // R prints fifteen digits; sums of up to 32,768 positive terms lose a few of the sixteen there are.
    EXPECT_NEAR(ours->evidence_probability, evidence, 1e-12 * evidence) << which;
    for (std::size_t i = 0; i < network.faults.size(); ++i) {
      double theirs = -1;
      words >> theirs;
      EXPECT_NEAR(ours->probabilities[i], theirs, 1e-12) << network.faults[i].id << " in case " << which;
      worst = std::max(worst, std::abs(ours->probabilities[i] - theirs));
    }
  }
  EXPECT_EQ(answered, cases.size());
  std::printf("%zu cases, %zu faults each: worst difference to R %.1e\n", answered, network.faults.size(),
              worst);
}

}  // namespace
}  // namespace boxfettle
