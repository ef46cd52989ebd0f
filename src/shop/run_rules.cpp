#include <algorithm>

#include "shop/rules.hpp"
#include "shop/run_phase.hpp"
#include "shop/sentence.hpp"

namespace boxfettle {
namespace {

bool has(const std::vector<std::string>& labels, const std::string& label) {
  return std::find(labels.begin(), labels.end(), label) != labels.end();
}

// Opening

std::optional<Refusal> held_back(const Question& question) {
  const auto holds = standing_holds(question.state, question.catalogue, 0, question.standing.now);
  if (holds.empty()) return std::nullopt;
  const std::string more = holds.size() > 1 ? " And " + std::to_string(holds.size() - 1) + " more." : "";
  return Refusal{"The box may not run. " + ended(holds.front().text) + more,
                 holds.front().safety ? "Leave it standing and tell the tool-room."
                                      : "Take another box, or ask a supervisor, quality or tooling."};
}

std::optional<Refusal> out_of_reach(const Question& question) {
  const Place& place = question.state.place;
  if (place.kind != Place::Kind::outside_shop && place.kind != Place::Kind::missing) return std::nullopt;
  return Refusal{"By the record the box is not in the house.",
                 "Read its label where it stands to move it, then open the run."};
}

// Hands are in the box while a job is being done on it.
std::optional<Refusal> being_worked_on(const Question& question) {
  for (const auto& [number, job] : question.state.jobs.open)
    if (job.started)
      return Refusal{job.started->fitter + " is at work on this box (job " + number + ").",
                     "Have the job finished or dropped in the tool-room, then open the run."};
  return std::nullopt;
}

// Each checkpoint whose failing would hold the box was looked at since the last run and within the day.
std::optional<Refusal> not_inspected(const Question& question) {
  const auto& past = question.state.runs.past;
  const std::int64_t last_run = past.empty() ? 0 : past.back().closed_entry;
  std::string unseen;
  for (const Checkpoint& point : question.catalogue.checkpoints) {
    if (point.consequence != Consequence::hold && point.consequence != Consequence::safety_hold) continue;
    const auto last = question.state.results.find(point.id);
    const bool looked =
        last != question.state.results.end() && last->second.entry > last_run &&
        question.standing.now - last->second.at <= question.catalogue.inspect_before_run_within;
    if (!looked) unseen += (unseen.empty() ? "" : ", ") + point.title;
  }
  if (unseen.empty()) return std::nullopt;
  return Refusal{"The opening inspection is not done: " + unseen + ".",
                 "Inspect the box, then open the run."};
}

std::optional<Refusal> kit_not_whole(const Question& question, const std::vector<std::string>& confirmed) {
  const Kit& kit = question.state.kit;
  for (const std::string& label : confirmed)
    if (!kit.contains(label))
      return Refusal{"Loose piece " + label + " does not belong to box " + question.state.box + ".",
                     "Take it out of the box and read the labels of the right pieces."};
  for (const auto& [label, piece] : kit) {
    if (has(confirmed, label)) continue;
    const std::string last = piece.last_run.empty() ? "" : " Run " + piece.last_run + " had it last.";
    return Refusal{
        "Loose piece " + label + " (" + piece.registered.name + ") is not confirmed in the box." + last,
        "Read its label. If it cannot be found, do not run: tell the tool-room."};
  }
  return std::nullopt;
}

// An earlier confirmation of a piece that was told missing since does not count: it was just read.
Question with_pieces_found(const Question& question, BoxState& found,
                           const std::vector<std::string>& confirmed) {
  found = question.state;
  for (auto& [label, piece] : found.kit)
    if (has(confirmed, label) && piece.place.kind == Place::Kind::missing)
      piece.place = {Place::Kind::bay, piece.registered.home};
  return {found, question.person, question.catalogue, question.standing};
}

std::optional<Refusal> why_not_open(const Question& question, const RunOpened& asked) {
  if (const auto& open = question.state.runs.open)
    return Refusal{"Run " + open->opened.run + " is open in this box on " + open->opened.station + ".",
                   "Close that run first."};
  if (auto refusal = kit_not_whole(question, asked.pieces)) return refusal;
  BoxState found;
  const Question read = with_pieces_found(question, found, asked.pieces);
  if (auto refusal = held_back(read)) return refusal;
  if (auto refusal = being_worked_on(read)) return refusal;
  if (auto refusal = out_of_reach(read)) return refusal;
  return not_inspected(read);
}

// In a run

struct InRun {
  const OpenRun* run = nullptr;
  std::optional<Refusal> refusal;
};

InRun in_run(const Question& question, const std::string& named) {
  const auto& open = question.state.runs.open;
  if (!open) return {nullptr, Refusal{"No run is open in this box.", "Open a run first."}};
  if (!named.empty() && named != open->opened.run)
    return {nullptr,
            Refusal{"Run " + named + " is over; open is " + open->opened.run + ".", "Load the page again."}};
  return {&*open, std::nullopt};
}

std::optional<Refusal> unmeasured(const OpenRun& run, const FirstPieceLooked& body) {
  for (const std::string& wanted : run.opened.to_measure) {
    const bool measured = std::any_of(body.measured.begin(), body.measured.end(),
                                      [&](const auto& one) { return one.characteristic == wanted; });
    if (!measured)
      return Refusal{"This box's first pieces are measured for " + wanted + ".",
                     "Measure it, then send the piece."};
  }
  const bool outside =
      std::any_of(body.measured.begin(), body.measured.end(), [](const auto& one) { return !one.passed; });
  if (body.passed && outside)
    return Refusal{"A value of this piece is outside its limits.",
                   "Send it as a bad piece and say what is wrong."};
  return std::nullopt;
}

}  // namespace

Answer told_by_rule(const Question& question, const RunOpened& body) {
  if (auto refusal = why_not_open(question, body)) return *refusal;
  RunOpened opened = body;
  const RunBook& runs = question.state.runs;
  opened.run = question.state.box + "/" + std::to_string(runs.past.size() + 1);
  opened.care = care_in_force(runs.care, question.standing.shop_care, question.state.registered->process,
                              month_of(question.standing.now))
                    .care;
  const FirstPiecesChosen asked = runs.first_pieces.value_or(FirstPiecesChosen{});
  opened.first_pieces = asked.count;
  opened.to_measure = asked.to_measure;
  return std::vector<EntryBody>{opened};
}

Answer told_by_rule(const Question& question, const FirstPieceLooked& body) {
  const InRun in = in_run(question, body.run);
  if (in.refusal) return *in.refusal;
  const RunPhase phase =
      run_phase(question.state, question.catalogue, question.standing.run_shots, question.standing.now);
  if (phase.at == RunPhase::At::stopped)
    return Refusal{"The run is stopped. " + phase.why.front(), "Mend that first."};
  if (auto refusal = unmeasured(*in.run, body)) return *refusal;
  if (!body.passed && body.remark.empty() && body.measured.empty())
    return Refusal{"What is wrong with the piece?", "Write it in a word or two."};
  FirstPieceLooked looked = body;
  looked.run = in.run->opened.run;
  looked.number = static_cast<std::int64_t>(in.run->first_pieces.size()) + 1;
  return std::vector<EntryBody>{looked};
}

Answer told_by_rule(const Question& question, const CareDone& body) {
  const InRun in = in_run(question, body.run);
  if (in.refusal) return *in.refusal;
  const auto& rules = in.run->opened.care;
  if (std::none_of(rules.begin(), rules.end(), [&](const CareRule& rule) { return rule.id == body.care; }))
    return Refusal{"'" + body.care + "' is no care of this run.", "Choose one of those on the run's page."};
  CareDone done = body;
  done.run = in.run->opened.run;
  done.shots = std::max({body.shots, in.run->shots_told, question.standing.run_shots});
  return std::vector<EntryBody>{done};
}

Answer told_by_rule(const Question& question, const RunPaused& body) {
  const InRun in = in_run(question, body.run);
  if (in.refusal) return *in.refusal;
  if (in.run->paused_at)
    return Refusal{"The run is paused already: " + ended(in.run->paused_why), "Let it go on when it can."};
  return std::vector<EntryBody>{RunPaused{in.run->opened.run, body.why}};
}

Answer told_by_rule(const Question& question, const RunResumed& body) {
  const InRun in = in_run(question, body.run);
  if (in.refusal) return *in.refusal;
  if (!in.run->paused_at)
    return Refusal{"The run is not paused.", "Go on working, and load the page again if it shows a pause."};
  const RunPhase phase =
      run_phase(question.state, question.catalogue, question.standing.run_shots, question.standing.now);
  if (phase.at == RunPhase::At::stopped)
    return Refusal{"The run may not go on. " + phase.why.front(), "Mend that first, then let it go on."};
  return std::vector<EntryBody>{RunResumed{in.run->opened.run}};
}

Answer told_by_rule(const Question& question, const HandedOver& body) {
  const InRun in = in_run(question, body.run);
  if (in.refusal) return *in.refusal;
  if (body.shots < in.run->shots_told)
    return Refusal{std::to_string(in.run->shots_told) + " shots were told before; it cannot be fewer now.",
                   "Read the counter again."};
  HandedOver over = body;
  over.run = in.run->opened.run;
  return std::vector<EntryBody>{over};
}

// A box handed back damaged is held at once: nobody should find out by running it.
Answer told_by_rule(const Question& question, const RunClosed& body) {
  const InRun in = in_run(question, body.run);
  if (in.refusal) return *in.refusal;
  if (body.bad > body.made)
    return Refusal{"More bad cores (" + std::to_string(body.bad) + ") than were made (" +
                       std::to_string(body.made) + ").",
                   "Count again: the bad ones are part of those made."};
  for (const std::string& label : body.pieces)
    if (!question.state.kit.contains(label))
      return Refusal{"Loose piece " + label + " does not belong to box " + question.state.box + ".",
                     "Read the labels again."};
  if (body.condition != RunClosed::Condition::good && body.remark.empty())
    return Refusal{"What is wrong with the box?", "Write it in a word or two for the tool-room."};
  RunClosed closed = body;
  closed.run = in.run->opened.run;
  std::vector<EntryBody> bodies{closed};
  if (body.condition == RunClosed::Condition::damaged)
    bodies.push_back(Held{"Handed back damaged after run " + closed.run + ": " + body.remark, false, ""});
  return bodies;
}

Answer told_by_rule(const Question& question, const CareChosen& body) {
  if (auto refusal = only_for(question.person, {Role::tooling, Role::quality}, "choose the care of a box"))
    return *refusal;
  if (auto refusal = no_way_to_care(body.care)) return *refusal;
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const FirstPiecesChosen& body) {
  if (auto refusal =
          only_for(question.person, {Role::tooling, Role::quality}, "choose the first pieces of a box"))
    return *refusal;
  return std::vector<EntryBody>{body};
}

}  // namespace boxfettle
