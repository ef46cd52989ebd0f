#include <algorithm>

#include "input/input_error.hpp"
#include "shop/present_doubt.hpp"
#include "shop/rules.hpp"

namespace boxfettle {
namespace {

struct NamedTrace {
  const ListedTrace* trace = nullptr;
  std::optional<Refusal> refusal;
};

NamedTrace open_trace(const Question& question, const std::string& number) {
  const auto found = question.state.suspects.traces.find(number);
  if (found == question.state.suspects.traces.end())
    return {nullptr, Refusal{"There is no list of suspect cores " + number + ".", "Load the page again."}};
  if (found->second.closed())
    return {nullptr,
            Refusal{"The list " + number + " is closed.", "Make a new list when there is a new doubt."}};
  return {&found->second, std::nullopt};
}

void check_findings(const std::vector<std::string>& names, const std::string& place) {
  for (const std::string& name : names)
    if (!shipped_faults().finding_named(name))
      throw InputError("", place, "'" + name + "' is no defect of a core and no checkpoint of the diagnosis",
                       "choose from the list");
}

// What the record holds of the trouble when the sender names none of it.
CauseConfirmed with_evidence(CauseConfirmed cause, const BoxState& state, UtcTime now) {
  if (!cause.seen.empty() || !cause.not_seen.empty()) return cause;
  const FaultNetwork& network = shipped_faults();
  for (const auto& [finding, seen] : present_doubt(state, network, now).found)
    (seen ? cause.seen : cause.not_seen).push_back(network.findings[finding].id);
  return cause;
}

}  // namespace

Answer told_by_rule(const Question& question, const DefectSeen& body) {
  if (body.x.has_value() != body.y.has_value() || body.x.value_or(0) > 1 || body.y.value_or(0) > 1)
    throw InputError("", "x", "is no place on the core's picture", "give x and y from 0 to 1, or neither");
  DefectSeen seen = body;
  if (seen.run.empty() && question.state.runs.open) seen.run = question.state.runs.open->opened.run;
  return std::vector<EntryBody>{seen};
}

Answer told_by_rule(const Question& question, const CauseConfirmed& body) {
  if (!shipped_faults().fault_named(body.fault))
    throw InputError("", "fault", "'" + body.fault + "' is no fault of the diagnosis",
                     "choose from the list, or write a note when it is none of them");
  check_findings(body.seen, "seen");
  check_findings(body.not_seen, "not_seen");
  return std::vector<EntryBody>{with_evidence(body, question.state, question.standing.now)};
}

// The lots are counted here, whatever the sender thought.
Answer told_by_rule(const Question& question, const SuspectsListed& body) {
  const Suspects found = suspects(question.state, body.property, question.standing.cores_between,
                                  question.standing.now, body.since);
  if (found.lots.empty())
    return Refusal{"No cores were made since that was last known good.",
                   "Leave the cores where they are: none is in doubt."};
  SuspectsListed listed = body;
  listed.trace = question.state.box + "/T" + std::to_string(question.state.suspects.traces.size() + 1);
  listed.good_entry = found.good.entry;
  if (listed.bad_entry == 0) listed.bad_entry = found.bad.entry;
  listed.lots = found.lots;
  return std::vector<EntryBody>{listed};
}

Answer told_by_rule(const Question& question, const LotDealtWith& body) {
  const NamedTrace named = open_trace(question, body.trace);
  if (named.refusal) return *named.refusal;
  const auto lots = static_cast<std::int64_t>(named.trace->listed.lots.size());
  if (body.lot >= lots)
    throw InputError("", "lot", "is not in the list", "give 0 to " + std::to_string(lots - 1));
  if (named.trace->dealt_with.contains(body.lot))
    return Refusal{"This lot was dealt with before.", "Write a note when something has to be added."};
  const std::int64_t cores = named.trace->listed.lots[static_cast<std::size_t>(body.lot)].cores;
  if (body.good + body.bad > cores)
    return Refusal{
        "The lot has " + std::to_string(cores) + " cores; " + std::to_string(body.good + body.bad) +
            " were told.",
        "Count again. Cores nobody can find any more belong into neither number: say so in words."};
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const FalseAlarm& body) {
  if (auto refusal =
          only_for(question.person, {Role::supervisor, Role::quality, Role::tooling}, "call a false alarm"))
    return *refusal;
  const NamedTrace named = open_trace(question, body.trace);
  if (named.refusal) return *named.refusal;
  return std::vector<EntryBody>{body};
}

}  // namespace boxfettle
