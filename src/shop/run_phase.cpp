#include "shop/run_phase.hpp"

#include <algorithm>
#include <array>

#include "shop/care_clock.hpp"
#include "shop/sentence.hpp"

namespace boxfettle {
namespace {

std::int64_t good_in_a_row(const OpenRun& run) {
  std::int64_t good = 0;
  for (auto piece = run.first_pieces.rbegin(); piece != run.first_pieces.rend() && piece->passed; ++piece)
    ++good;
  return good;
}

Place station_of(const OpenRun& run) {
  return {Place::Kind::station, run.opened.station};
}

// Told to be somewhere else: then what runs on the station is not this box, or nobody knows where it is.
void add_wrong_place(const BoxState& state, std::vector<std::string>& why) {
  if (state.place == station_of(*state.runs.open)) return;
  why.push_back("By the record the box is no longer on " + state.runs.open->opened.station +
                ". Read its label there to move it back, or close the run.");
}

void add_missing_pieces(const BoxState& state, std::vector<std::string>& why) {
  for (const auto& [label, piece] : state.kit) {
    if (piece.last_run == state.runs.open->opened.run && piece.place == station_of(*state.runs.open))
      continue;
    why.push_back("Loose piece " + label + " (" + piece.registered.name +
                  ") is not confirmed in the box. Find it, then close this run and open a new one with it.");
  }
}

void add_late_care(const BoxState& state, std::int64_t shots, UtcTime now, std::vector<std::string>& why) {
  for (const CareStanding& care : care_standing(state.runs, shots, now))
    if (care.how == CareStanding::How::stops_work)
      why.push_back(care.rule.title + " is overdue past its limit. Do it now, then go on.");
}

std::vector<std::string> stops(const BoxState& state, const Catalogue& catalogue, std::int64_t shots,
                               UtcTime now) {
  std::vector<std::string> why;
  for (const Reason& reason : standing_holds(state, catalogue, shots, now)) why.push_back(ended(reason.text));
  add_wrong_place(state, why);
  add_missing_pieces(state, why);
  add_late_care(state, shots, now, why);
  return why;
}

}  // namespace

std::string_view name(RunPhase::At at) {
  constexpr std::array<std::string_view, 5> names{"no-run", "first-pieces", "running", "paused", "stopped"};
  return names[static_cast<std::size_t>(at)];
}

std::vector<Reason> standing_holds(const BoxState& state, const Catalogue& catalogue, std::int64_t shots,
                                   UtcTime now) {
  std::vector<Reason> standing;
  for (const Reason& reason : verdict(state, catalogue, now, shots).reasons)
    if (reason.state == Fitness::hold) standing.push_back(reason);
  return standing;
}

RunPhase run_phase(const BoxState& state, const Catalogue& catalogue, std::int64_t shots, UtcTime now) {
  RunPhase phase;
  if (!state.runs.open) return phase;
  phase.good_in_a_row = good_in_a_row(*state.runs.open);
  phase.why = stops(state, catalogue, shots, now);
  if (!phase.why.empty())
    phase.at = RunPhase::At::stopped;
  else if (state.runs.open->paused_at)
    phase.at = RunPhase::At::paused;
  else if (phase.good_in_a_row < state.runs.open->opened.first_pieces)
    phase.at = RunPhase::At::first_pieces;
  else
    phase.at = RunPhase::At::running;
  return phase;
}

}  // namespace boxfettle
