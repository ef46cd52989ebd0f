#include "statistics/run_rules.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

struct RuleWords {
  RunRule rule;
  std::string_view name, definition, meaning;
};

constexpr std::array<RuleWords, all_run_rules.size()> words{{
    {RunRule::outside_limits, "outside-limits", "one point above the upper or below the lower limit",
     "something large changed, or one reading is wrong"},
    {RunRule::far_pair, "far-pair", "two of three points in a row beyond 2 sigma on the same side",
     "a large shift"},
    {RunRule::off_centre, "off-centre", "four of five points in a row beyond 1 sigma on the same side",
     "a shift of middle size"},
    {RunRule::one_side, "one-side", " points in a row on the same side of the centre",
     "a small shift that stays"},
    {RunRule::drift, "drift", "six points in a row, each above (or each below) the one before",
     "something wears, heats up or runs empty"},
    {RunRule::see_saw, "see-saw", "fourteen points in a row, up and down by turns",
     "two sources alternate, or somebody corrects after every core"},
    {RunRule::too_quiet, "too-quiet", "fifteen points in a row within 1 sigma of the centre",
     "the limits are too wide, or each subgroup mixes several sources"},
    {RunRule::two_streams, "two-streams", "eight points in a row beyond 1 sigma, on either side",
     "two sources with different centres share one chart"},
}};

const RuleWords& words_of(RunRule rule) {
  return words[static_cast<std::size_t>(rule)];
}

}  // namespace

std::string_view name(RunRule rule) {
  return words_of(rule).name;
}

std::optional<RunRule> run_rule_named(std::string_view text) {
  for (const RuleWords& one : words)
    if (one.name == text) return one.rule;
  return std::nullopt;
}

std::string definition(RunRule rule, const RuleSettings& settings) {
  const std::string text(words_of(rule).definition);
  return rule == RunRule::one_side ? std::to_string(settings.one_side_run) + text : text;
}

std::string_view meaning(RunRule rule) {
  return words_of(rule).meaning;
}

std::vector<RunRule> RunWatch::add(double sigmas) {
  last_[next_] = sigmas;
  next_ = (next_ + 1) % kept;
  ++seen_;
  std::vector<RunRule> fired;
  for (const RunRule rule : settings_.rules)
    if (fires(rule)) fired.push_back(rule);
  return fired;
}

// How many of the last points lie beyond the limit on one side.
std::size_t RunWatch::beyond(double limit, std::size_t last, double side) const {
  std::size_t count = 0;
  for (std::size_t i = 0; i < std::min(last, seen_); ++i)
    if (side * back(i) > limit) ++count;
  return count;
}

bool RunWatch::fires(RunRule rule) const {
  const double side = back(0) > 0 ? 1 : -1;  // a pattern is completed by a point that is part of it
  const auto in_a_row = [this](std::size_t points, const auto& holds) {
    if (seen_ < points) return false;
    for (std::size_t i = 0; i < points; ++i)
      if (!holds(i)) return false;
    return true;
  };
  switch (rule) {
    case RunRule::outside_limits:
      return false;  // seen by whoever knows the limits
    case RunRule::far_pair:
      return side * back(0) > 2 && beyond(2, 3, side) >= 2;
    case RunRule::off_centre:
      return side * back(0) > 1 && beyond(1, 5, side) >= 4;
    case RunRule::one_side:
      return in_a_row(settings_.one_side_run, [&](std::size_t i) { return side * back(i) > 0; });
    case RunRule::drift:
      return seen_ >= 6 && (in_a_row(5, [&](std::size_t i) { return back(i) > back(i + 1); }) ||
                            in_a_row(5, [&](std::size_t i) { return back(i) < back(i + 1); }));
    case RunRule::see_saw:
      return seen_ >= 14 && in_a_row(12, [&](std::size_t i) {
               return (back(i) - back(i + 1)) * (back(i + 1) - back(i + 2)) < 0;
             });
    case RunRule::too_quiet:
      return in_a_row(15, [&](std::size_t i) { return std::abs(back(i)) < 1; });
    case RunRule::two_streams:
      return in_a_row(8, [&](std::size_t i) { return std::abs(back(i)) > 1; });
  }
  return false;
}

}  // namespace boxfettle
