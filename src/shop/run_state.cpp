#include "shop/run_state.hpp"

#include <algorithm>

namespace boxfettle {
namespace {

// The open run that the entry speaks of; null for one that is over. Rules keep such entries out, but a fold
// never fails.
OpenRun* spoken_of(RunBook& runs, const std::string& run) {
  return runs.open && runs.open->opened.run == run ? &*runs.open : nullptr;
}

}  // namespace

std::chrono::milliseconds OpenRun::running(UtcTime now) const {
  const UtcTime until = paused_at ? *paused_at : now;
  return std::max(std::chrono::milliseconds{0}, until - at - paused_before);
}

void tell(RunBook& runs, const Entry& entry, const RunOpened& body) {
  runs.open.emplace();
  runs.open->opened = body;
  runs.open->entry = entry.seq;
  runs.open->at = entry.at;
  runs.open->in_charge = entry.who;
}

void tell(RunBook& runs, const Entry&, const FirstPieceLooked& body) {
  if (OpenRun* run = spoken_of(runs, body.run)) run->first_pieces.push_back(body);
}

void tell(RunBook& runs, const Entry& entry, const CareDone& body) {
  OpenRun* run = spoken_of(runs, body.run);
  if (run == nullptr) return;
  const LastCare done{entry.at, entry.who, entry.seq, run->running(entry.at), body.shots};
  run->care[body.care] = done;
  runs.by_day[body.care] = done;
  run->shots_told = std::max(run->shots_told, body.shots);
}

void tell(RunBook& runs, const Entry& entry, const RunPaused& body) {
  OpenRun* run = spoken_of(runs, body.run);
  if (run == nullptr || run->paused_at) return;
  run->paused_at = entry.at;
  run->paused_why = body.why;
}

void tell(RunBook& runs, const Entry& entry, const RunResumed& body) {
  OpenRun* run = spoken_of(runs, body.run);
  if (run == nullptr || !run->paused_at) return;
  run->paused_before += std::max(std::chrono::milliseconds{0}, entry.at - *run->paused_at);
  run->paused_at.reset();
  run->paused_why.clear();
}

void tell(RunBook& runs, const Entry&, const HandedOver& body) {
  OpenRun* run = spoken_of(runs, body.run);
  if (run == nullptr) return;
  run->in_charge = body.to;
  run->shots_told = std::max(run->shots_told, body.shots);
}

void tell(RunBook& runs, const Entry& entry, const RunClosed& body) {
  const OpenRun* run = spoken_of(runs, body.run);
  if (run == nullptr) return;
  runs.past.push_back({run->opened, run->entry, run->at, body, entry.seq, entry.at});
  runs.made += body.made;
  runs.open.reset();
}

void tell(RunBook& runs, const Entry&, const CareChosen& body) {
  runs.care = body.care;
}

void tell(RunBook& runs, const Entry&, const FirstPiecesChosen& body) {
  runs.first_pieces = body;
}

}  // namespace boxfettle
