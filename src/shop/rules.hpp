// The shop's rules, one for each kind of entry that has any. For shop/ alone: `decide` asks them.
#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "shop/requests.hpp"

namespace boxfettle {

using Answer = std::variant<std::vector<EntryBody>, Refusal>;

struct Question {
  const BoxState& state;
  const Person& person;
  const Catalogue& catalogue;
  const Standing& standing;
};

// The refusal, when the person's role is none of those.
std::optional<Refusal> only_for(const Person& person, std::initializer_list<Role> roles,
                                const std::string& doing);

// The refusal, when one of the rules would never fall due, or two go by one id: doing one would be doing both.
std::optional<Refusal> no_way_to_care(const std::vector<CareRule>& care);

// Whatever has no rule of its own is written as it was told.
template <class Body>
Answer told_by_rule(const Question&, const Body& body) {
  return std::vector<EntryBody>{body};
}

// part_rules.cpp
Answer told_by_rule(const Question& question, const ComponentFitted& body);
Answer told_by_rule(const Question& question, const PieceRegistered& body);
Answer told_by_rule(const Question& question, const PieceMoved& body);
Answer told_by_rule(const Question& question, const PieceRetired& body);
Answer told_by_rule(const Question& question, const FileFiled& body);
Answer told_by_rule(const Question& question, const StockTaken& body);

// hold_rules.cpp
Answer told_by_rule(const Question& question, const Conceded& body);
Answer told_by_rule(const Question& question, const Quarantined& body);
Answer told_by_rule(const Question& question, const QuarantineLifted& body);
Answer told_by_rule(const Question& question, const Scrapped& body);

// run_rules.cpp
Answer told_by_rule(const Question& question, const RunOpened& body);
Answer told_by_rule(const Question& question, const FirstPieceLooked& body);
Answer told_by_rule(const Question& question, const CareDone& body);
Answer told_by_rule(const Question& question, const RunPaused& body);
Answer told_by_rule(const Question& question, const RunResumed& body);
Answer told_by_rule(const Question& question, const HandedOver& body);
Answer told_by_rule(const Question& question, const RunClosed& body);
Answer told_by_rule(const Question& question, const CareChosen& body);
Answer told_by_rule(const Question& question, const FirstPiecesChosen& body);

// trace_rules.cpp
Answer told_by_rule(const Question& question, const DefectSeen& body);
Answer told_by_rule(const Question& question, const CauseConfirmed& body);
Answer told_by_rule(const Question& question, const SuspectsListed& body);
Answer told_by_rule(const Question& question, const LotDealtWith& body);
Answer told_by_rule(const Question& question, const FalseAlarm& body);

// job_rules.cpp
Answer told_by_rule(const Question& question, const JobRaised& body);
Answer told_by_rule(const Question& question, const JobStarted& body);
Answer told_by_rule(const Question& question, const JobDone& body);
Answer told_by_rule(const Question& question, const JobDropped& body);
Answer told_by_rule(const Question& question, const RunPlanned& body);
Answer told_by_rule(const Question& question, const RunUnplanned& body);

}  // namespace boxfettle
