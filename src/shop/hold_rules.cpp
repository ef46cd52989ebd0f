#include <algorithm>

#include "shop/rules.hpp"
#include "shop/run_phase.hpp"
#include "shop/sentence.hpp"

namespace boxfettle {
namespace {

std::optional<Refusal> scrapped(const Question& question) {
  if (!question.state.scrapped) return std::nullopt;
  return Refusal{"Box " + question.state.box + " is scrapped.",
                 "Use another box: a scrapped one comes back no more."};
}

}  // namespace

// Covers whatever holds the box now, safety apart.
Answer told_by_rule(const Question& question, const Conceded& body) {
  if (auto refusal = scrapped(question)) return *refusal;
  if (auto refusal =
          only_for(question.person, {Role::supervisor, Role::quality, Role::tooling}, "give a concession"))
    return *refusal;
  if (question.state.quarantine)
    return Refusal{"The box is in quarantine.", "Have quality lift the quarantine first."};
  if (body.until <= question.standing.now)
    return Refusal{"The concession would end before it begins.", "Give a time that is still to come."};
  Conceded given = body;
  given.holds.clear();
  const RunBook& runs = question.state.runs;
  const std::int64_t told_shots = runs.open ? runs.open->shots_told : 0;
  given.made = runs.made + std::max(question.standing.run_shots, told_shots);
  for (const Reason& reason : standing_holds(question.state, question.catalogue, question.standing.run_shots,
                                             question.standing.now)) {
    if (reason.safety)
      return Refusal{"A safety hold has no concession: " + ended(reason.text),
                     "Have it mended, inspect that checkpoint again and pass it, then release."};
    given.holds.push_back(reason.entry);
  }
  if (given.holds.empty()) return Refusal{"Nothing holds this box.", "Open the run: it needs no concession."};
  return std::vector<EntryBody>{given};
}

Answer told_by_rule(const Question& question, const Quarantined& body) {
  if (auto refusal = scrapped(question)) return *refusal;
  if (question.state.quarantine)
    return Refusal{"The box is in quarantine already.", "Write a note to add something."};
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const QuarantineLifted& body) {
  if (auto refusal = only_for(question.person, {Role::quality, Role::tooling}, "lift a quarantine"))
    return *refusal;
  if (!question.state.quarantine)
    return Refusal{"The box is not in quarantine.", "Load the box's page to see what holds it now."};
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const Scrapped& body) {
  if (auto refusal = only_for(question.person, {Role::tooling}, "scrap a box")) return *refusal;
  if (auto refusal = scrapped(question)) return *refusal;
  if (question.state.runs.open)
    return Refusal{"Run " + question.state.runs.open->opened.run + " is open in this box.",
                   "Close the run first."};
  return std::vector<EntryBody>{body};
}

}  // namespace boxfettle
