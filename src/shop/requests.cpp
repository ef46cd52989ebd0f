#include "shop/requests.hpp"

#include <algorithm>
#include <optional>

#include "input/input_error.hpp"
#include "shop/inspected_value.hpp"
#include "shop/rules.hpp"
#include "shop/sentence.hpp"
#include "shop/told_meanwhile.hpp"

namespace boxfettle {
namespace {

std::string title_of(const Catalogue& catalogue, const std::string& checkpoint) {
  const Checkpoint* point = catalogue.find(checkpoint);
  return point == nullptr ? checkpoint : point->title;
}

bool passed_since(const BoxState& state, const OpenHold& hold) {
  const auto last = state.results.find(hold.held.checkpoint);
  return last != state.results.end() && last->second.result.passed && last->second.entry > hold.entry;
}

bool holds_for(const BoxState& state, const std::string& checkpoint) {
  return std::any_of(state.holds.begin(), state.holds.end(), [&](const OpenHold& hold) {
    return hold.held.safety && hold.held.checkpoint == checkpoint;
  });
}

Answer answer(const Question& question, const RegisterBox& asked) {
  if (auto refusal = only_for(question.person, {Role::supervisor, Role::tooling}, "register a box"))
    return *refusal;
  if (question.state.registered == asked.registration)
    return Refusal{"Box " + question.state.box + " is registered already, with just these particulars.",
                   "Change what is different, then register it again."};
  return std::vector<EntryBody>{asked.registration};
}

Answer answer(const Question&, const MoveBox& asked) {
  return std::vector<EntryBody>{Moved{asked.to}};
}

// The catalogue may have dropped a checkpoint since; while a hold waits for it, it can still be told.
void expect_known(const Question& question, const CheckpointResult& result, std::size_t index) {
  if (question.catalogue.find(result.checkpoint) != nullptr) return;
  if (holds_for(question.state, result.checkpoint)) return;
  throw InputError("", "results[" + std::to_string(index) + "].checkpoint",
                   "'" + result.checkpoint + "' is no checkpoint of this catalogue",
                   "load the inspection page again");
}

std::optional<Held> hold_for(const Question& question, const CheckpointResult& result) {
  const Checkpoint* point = question.catalogue.find(result.checkpoint);
  const bool endangers = point != nullptr && !result.passed && point->consequence == Consequence::safety_hold;
  if (!endangers || holds_for(question.state, point->id)) return std::nullopt;
  return Held{point->title + " failed" + (result.remark.empty() ? "" : ": " + result.remark), true,
              point->id};
}

Answer answer(const Question& question, const InspectBox& asked) {
  Inspected inspected{question.catalogue.version, asked.results};
  std::vector<EntryBody> bodies(1);
  for (std::size_t i = 0; i < inspected.results.size(); ++i) {
    CheckpointResult& result = inspected.results[i];
    expect_known(question, result, i);
    const Checkpoint* point = question.catalogue.find(result.checkpoint);
    if (point != nullptr && result.passed)
      if (const std::string beyond = beyond_bounds(*point, question.state.registered->limits, result);
          !beyond.empty())
        return Refusal{ended(beyond), "Measure again, or say that the checkpoint fails."};
    result.unit = result.measured && point != nullptr ? point->unit : "";
    if (const auto hold = hold_for(question, result)) bodies.push_back(*hold);
  }
  bodies.front() = std::move(inspected);
  return bodies;
}

Answer answer(const Question&, const RecordScan& asked) {
  return std::vector<EntryBody>{asked.scan};
}

Answer answer(const Question& question, const HoldBox& asked) {
  if (asked.safety && asked.checkpoint.empty())
    return Refusal{"A safety hold must say which checkpoint has to pass before the box may run again.",
                   "Choose the checkpoint, then hold the box again."};
  if (!asked.checkpoint.empty() && question.catalogue.find(asked.checkpoint) == nullptr)
    throw InputError("", "checkpoint", "'" + asked.checkpoint + "' is no checkpoint of this catalogue",
                     "choose one of the list");
  return std::vector<EntryBody>{Held{asked.why, asked.safety, asked.checkpoint}};
}

// Why these holds may not be lifted now; empty when they may.
std::optional<Refusal> keeps_held(const Question& question) {
  const auto& holds = question.state.holds;
  const auto unproven = std::find_if(holds.begin(), holds.end(), [&](const OpenHold& hold) {
    return hold.held.safety && !passed_since(question.state, hold);
  });
  if (unproven == holds.end()) return std::nullopt;
  const std::string title = title_of(question.catalogue, unproven->held.checkpoint);
  return Refusal{"This is a safety hold (entry " + std::to_string(unproven->entry) +
                     "): " + ended(unproven->held.why) + " Nobody can waive it.",
                 "Have it mended, inspect '" + title + "' again and pass it, then release."};
}

Answer answer(const Question& question, const ReleaseBox& asked) {
  if (auto refusal =
          only_for(question.person, {Role::supervisor, Role::quality, Role::tooling}, "release a held box"))
    return *refusal;
  if (question.state.holds.empty())
    return Refusal{"Nobody has put a hold on this box.",
                   "Read the reasons of its verdict: inspect again what failed, or have it scanned again."};
  if (const auto refusal = keeps_held(question)) return *refusal;
  Released released{asked.why, {}};
  for (const OpenHold& hold : question.state.holds) released.holds.push_back(hold.entry);
  return std::vector<EntryBody>{released};
}

Answer answer(const Question&, const WriteNote& asked) {
  return std::vector<EntryBody>{NoteWritten{asked.text}};
}

Answer answer(const Question& question, const Tell& asked) {
  if (of_whole_shop(asked.body))
    throw InputError("", "kind", "'" + std::string(kind(asked.body)) + "' is about the whole shop, not a box",
                     "send it to the shop");
  return std::visit(
      [&]<class Body>(const Body& body) -> Answer {
        if constexpr (requires { Body::kind; })
          return told_by_rule(question, body);
        else
          throw InputError("", "kind", "'" + std::string(kind(asked.body)) + "' has a request of its own",
                           "send that one: it has rules that this would pass by");
      },
      asked.body);
}

}  // namespace

Answer decide(const BoxState& state, const Request& request, const Person& person, const Catalogue& catalogue,
              const Standing& standing) {
  check_sender(person.name, request.id, request.box);
  if (state.requests.contains(request.id)) return std::vector<EntryBody>{};
  if (request.box == whole_shop)
    throw InputError("", "box", "'" + request.box + "' stands for the whole shop",
                     "name a box by its number");
  if (!state.registered && !std::holds_alternative<RegisterBox>(request.what))
    return Refusal{"Box " + request.box + " is not registered.",
                   "Check the number on the box. If it is right, have tooling register it."};
  const Question question{state, person, catalogue, standing};
  Answer answered = std::visit([&](const auto& asked) { return answer(question, asked); }, request.what);
  const auto* bodies = std::get_if<std::vector<EntryBody>>(&answered);
  if (bodies == nullptr) return answered;
  for (const EntryBody& body : *bodies) check_body(body);
  if (request.as_of_entry)
    if (auto refusal = told_meanwhile(state, *bodies, person.name, *request.as_of_entry)) return *refusal;
  return answered;
}

}  // namespace boxfettle
