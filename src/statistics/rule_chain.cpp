// The Markov chain behind shewhart_run_length: its states are all that the run rules can remember.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>
#include <vector>

#include "statistics/average_run_length.hpp"
#include "statistics/distributions.hpp"

namespace boxfettle {
namespace {

// Zones between the multiples of sigma inside the limits, from -3..-2 to 2..3.
constexpr int zones = 6;

struct Memory {
  std::array<signed char, 4> side{};  // per earlier point, newest first: how far out, -2 .. 2 sigma
  int run = 0;                        // points so far on one side, negative below
  int quiet = 0, outer = 0;           // points so far within, or beyond, 1 sigma
  bool operator<(const Memory& other) const {
    return std::tie(side, run, quiet, outer) < std::tie(other.side, other.run, other.quiet, other.outer);
  }
};

class RuleChain {
 public:
  RuleChain(const RuleSettings& rules, double shift) : rules_(rules) {
    for (int zone = 0; zone < zones; ++zone)
      chance_[static_cast<std::size_t>(zone)] = normal_cdf(zone - 2 - shift) - normal_cdf(zone - 3 - shift);
    explore();
  }
  double run_length() const;

 private:
  struct Step {
    std::size_t to;
    double chance;
  };
  bool has(RunRule rule) const { return std::ranges::find(rules_.rules, rule) != rules_.rules.end(); }
  Memory after(const Memory& before, int zone) const;
  bool fires(const Memory& before, const Memory& now) const;
  void explore();

  RuleSettings rules_;
  std::array<double, zones> chance_{};
  std::vector<std::vector<Step>> steps_;
};

int side_of(int zone) {
  constexpr std::array<int, zones> out{-2, -1, 0, 0, 1, 2};
  return out[static_cast<std::size_t>(zone)];
}

// What is kept of the past with this zone added; what no rule asks for is forgotten, so that states are few.
Memory RuleChain::after(const Memory& before, int zone) const {
  Memory now;
  const bool pair = has(RunRule::far_pair), four = has(RunRule::off_centre);
  now.side[0] = static_cast<signed char>(side_of(zone));
  std::copy(before.side.begin(), before.side.end() - 1, now.side.begin() + 1);
  for (std::size_t i = 0; i < now.side.size(); ++i) {
    const bool far_matters = pair && i < 2;
    if (std::abs(now.side[i]) == 2 && !far_matters)
      now.side[i] = static_cast<signed char>(four ? now.side[i] / 2 : 0);
    if (std::abs(now.side[i]) == 1 && !four) now.side[i] = 0;
  }
  if (has(RunRule::one_side))
    now.run = zone >= zones / 2 ? std::max(before.run, 0) + 1 : std::min(before.run, 0) - 1;
  const bool inner = zone == 2 || zone == 3;
  if (has(RunRule::too_quiet)) now.quiet = inner ? before.quiet + 1 : 0;
  if (has(RunRule::two_streams)) now.outer = inner ? 0 : before.outer + 1;
  return now;
}

bool RuleChain::fires(const Memory& before, const Memory& now) const {
  const auto out = [&](int limit, std::size_t points, int side) {
    int count = side * now.side[0] >= limit;
    for (std::size_t i = 0; i + 1 < points; ++i) count += side * before.side[i] >= limit;
    return count;
  };
  for (const int side : {-1, 1}) {
    if (has(RunRule::far_pair) && side * now.side[0] >= 2 && out(2, 3, side) >= 2) return true;
    if (has(RunRule::off_centre) && side * now.side[0] >= 1 && out(1, 5, side) >= 4) return true;
  }
  return std::abs(now.run) >= static_cast<int>(rules_.one_side_run) || now.quiet >= 15 || now.outer >= 8;
}

void RuleChain::explore() {
  std::map<Memory, std::size_t> known{{Memory{}, 0}};
  std::vector<Memory> waiting{Memory{}};
  steps_.resize(1);
  for (std::size_t from = 0; from < waiting.size(); ++from)
    for (int zone = 0; zone < zones; ++zone) {
      const Memory before = waiting[from], now = after(before, zone);
      if (fires(before, now)) continue;
      const auto [at, fresh] = known.emplace(now, waiting.size());
      if (fresh) {
        waiting.push_back(now);
        steps_.emplace_back();
      }
      steps_[from].push_back({at->second, chance_[static_cast<std::size_t>(zone)]});
    }
}

// The chance to be still without a signal is followed point by point until it shrinks by a constant factor;
// what is left is a geometric series.
double RuleChain::run_length() const {
  std::vector<double> share(steps_.size(), 0.0);
  share[0] = 1;
  double length = 0, left = 1, ratio = 0;
  constexpr int most_steps = 20000;
  for (int step = 0; step < most_steps && left > 1e-14; ++step) {
    length += left;
    std::vector<double> next(share.size(), 0.0);
    for (std::size_t from = 0; from < share.size(); ++from)
      for (const Step& to : steps_[from]) next[to.to] += share[from] * to.chance;
    double still = 0;
    for (const double part : next) still += part;
    const double before = ratio;
    ratio = still / left;
    share = std::move(next);
    left = still;
    if (step > 100 && std::abs(ratio - before) < 1e-15) break;
  }
  return length + (ratio < 1 ? left / (1 - ratio) : std::numeric_limits<double>::infinity());
}

}  // namespace

double shewhart_run_length(const RuleSettings& rules, double shift) {
  return RuleChain(rules, shift).run_length();
}

}  // namespace boxfettle
