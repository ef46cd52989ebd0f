#include "shop/trace.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

struct Span {
  UtcTime from, to;
};

// Made in the whole run; an open one has told so many so far.
struct RunMade {
  const RunOpened& opened;
  UtcTime from, to;
  std::int64_t made = 0;
  std::string went_to;
};

std::vector<RunMade> all_runs(const BoxState& state, UtcTime now) {
  std::vector<RunMade> runs;
  for (const PastRun& run : state.runs.past)
    runs.push_back({run.opened, run.opened_at, run.closed_at, run.closed.made, run.closed.went_to});
  if (const auto& open = state.runs.open) runs.push_back({open->opened, open->at, now, open->shots_told, ""});
  return runs;
}

std::int64_t cores_in(const RunMade& run, Span part, const CoresBetween& between) {
  if (const auto counted = between(part.from, part.to)) return *counted;
  const double whole = static_cast<double>((run.to - run.from).count());
  if (whole <= 0) return run.made;
  const double share = static_cast<double>((part.to - part.from).count()) / whole;
  return static_cast<std::int64_t>(std::ceil(share * static_cast<double>(run.made)));
}

LastTold told(const std::map<std::string, LastTold>& book, const std::string& property) {
  const auto found = book.find(property);
  return found == book.end() ? LastTold{} : found->second;
}

std::string sentence_for(const Suspects& suspects) {
  const bool told_elsewhere = !suspects.whole_life && suspects.good.entry == 0;
  if (suspects.lots.empty())
    return told_elsewhere ? "No core was made since the doubt begins."
                          : "No core was made since it was last known good.";
  std::string text = std::to_string(suspects.cores) + (suspects.cores == 1 ? " core in " : " cores in ") +
                     std::to_string(suspects.lots.size()) + (suspects.lots.size() == 1 ? " run" : " runs");
  if (suspects.whole_life)
    return text + ": nobody ever found this good, so every core the box made is in doubt.";
  return text + (told_elsewhere ? " since the doubt begins, on " : " since it was last known good, on ") +
         suspects.good.at.iso().substr(0, 16) + " UTC.";
}

}  // namespace

Suspects suspects(const BoxState& state, const std::string& property, const CoresBetween& between,
                  UtcTime now, std::optional<UtcTime> from) {
  Suspects found{property,
                 told(state.suspects.last_good, property),
                 told(state.suspects.last_bad, property),
                 {},
                 0,
                 false,
                 {}};
  if (from) found.good = {0, *from};
  found.whole_life = !from && found.good.entry == 0;
  // A piece that is missing now was missing at the latest since it was last confirmed; the doubt lasts until
  // now.
  for (const RunMade& run : all_runs(state, now)) {
    const Span part{std::max(run.from, found.whole_life ? run.from : found.good.at), run.to};
    if (part.to <= part.from) continue;
    const std::int64_t cores = cores_in(run, part, between);
    if (cores == 0) continue;
    found.lots.push_back({run.opened.run, run.opened.batch, run.went_to, part.from, part.to, cores});
    found.cores += cores;
  }
  found.sentence = sentence_for(found);
  return found;
}

std::vector<std::string> untraced_doubts(const BoxState& state) {
  std::vector<std::string> doubts;
  for (const auto& [property, bad] : state.suspects.last_bad) {
    if (told(state.suspects.last_good, property).entry > bad.entry) continue;
    const bool traced =
        std::any_of(state.suspects.traces.begin(), state.suspects.traces.end(), [&](const auto& trace) {
          return trace.second.listed.property == property && trace.second.entry > bad.entry;
        });
    if (!traced) doubts.push_back(property);
  }
  return doubts;
}

}  // namespace boxfettle
