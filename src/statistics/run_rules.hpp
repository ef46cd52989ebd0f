// Patterns on a control chart that chance seldom draws, each named by what it sees. The rules are those of
// the Western Electric handbook (1956) and of L. S. Nelson, "The Shewhart Control Chart - Tests for Special
// Causes", J. Quality Technology 16 (1984).
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

enum class RunRule {
  outside_limits,  // one point beyond a limit
  far_pair,        // 2 of 3 beyond 2 sigma, same side
  off_centre,      // 4 of 5 beyond 1 sigma, same side
  one_side,        // a run on one side of the centre
  drift,           // 6 in a row rising, or falling
  see_saw,         // 14 in a row, up and down by turns
  too_quiet,       // 15 in a row within 1 sigma
  two_streams,     // 8 in a row beyond 1 sigma, on either side
};
inline constexpr std::array all_run_rules{RunRule::outside_limits, RunRule::far_pair,   RunRule::off_centre,
                                          RunRule::one_side,       RunRule::drift,      RunRule::see_saw,
                                          RunRule::too_quiet,      RunRule::two_streams};

struct RuleSettings {
  std::vector<RunRule> rules{RunRule::outside_limits, RunRule::far_pair, RunRule::off_centre,
                             RunRule::one_side};
  std::size_t one_side_run = 9;  // Nelson's; the older handbook has 8
};

std::string_view name(RunRule rule);  // "outside-limits"
std::optional<RunRule> run_rule_named(std::string_view text);
std::string definition(RunRule rule, const RuleSettings& settings);  // what exactly is looked for
std::string_view meaning(RunRule rule);                              // what it sees, in shop words

// The rules but the first, kept up with point by point in constant time. A point is given in sigmas from the
// centre; points that are missing are not given, and runs go on across them.
class RunWatch {
 public:
  explicit RunWatch(RuleSettings settings) : settings_(std::move(settings)) {}
  // The rules whose pattern this point completes.
  std::vector<RunRule> add(double sigmas);

 private:
  bool fires(RunRule rule) const;
  std::size_t beyond(double limit, std::size_t last, double side) const;
  double back(std::size_t i) const { return last_[(next_ + kept - 1 - i) % kept]; }

  static constexpr std::size_t kept = 64;  // more than the longest rule looks back
  RuleSettings settings_;
  std::array<double, kept> last_{};
  std::size_t next_ = 0, seen_ = 0;
};

}  // namespace boxfettle
