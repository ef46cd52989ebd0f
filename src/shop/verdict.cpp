#include "shop/verdict.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <optional>

#include "shop/sentence.hpp"

namespace boxfettle {
namespace {

Fitness fitness_of(Consequence consequence) {
  if (consequence == Consequence::note) return Fitness::fit;
  return consequence == Consequence::watch ? Fitness::watch : Fitness::hold;
}

std::string measured_text(const CheckpointResult& result) {
  if (!result.measured) return {};
  char digits[40];
  std::snprintf(digits, sizeof digits, "%.4g", *result.measured);
  return std::string(digits) + (result.unit.empty() ? "" : " " + result.unit);
}

void tell_holds(const BoxState& state, std::vector<Reason>& reasons) {
  for (const OpenHold& hold : state.holds)
    reasons.push_back({Fitness::hold,
                       "On hold since " + hold.at.date() + " by " + hold.who + ": " + ended(hold.held.why),
                       hold.entry, hold.held.safety});
}

// An open safety hold for the same checkpoint already tells it. Another hold does not: it can be conceded.
bool told_by_hold(const BoxState& state, const std::string& checkpoint) {
  return std::any_of(state.holds.begin(), state.holds.end(), [&](const OpenHold& hold) {
    return hold.held.safety && hold.held.checkpoint == checkpoint;
  });
}

void tell_failures(const BoxState& state, const Catalogue& catalogue, std::vector<Reason>& reasons) {
  for (const Checkpoint& point : catalogue.checkpoints) {
    const auto last = state.results.find(point.id);
    if (last == state.results.end() || last->second.result.passed) continue;
    const CheckpointResult& result = last->second.result;
    std::string text = point.title + " failed on " + last->second.at.date();
    if (const std::string measured = measured_text(result); !measured.empty()) text += " (" + measured + ")";
    if (!result.remark.empty()) text += ": " + result.remark;
    const bool safety = point.consequence == Consequence::safety_hold;
    if (safety && told_by_hold(state, point.id)) continue;
    reasons.push_back({fitness_of(point.consequence), ended(text), last->second.entry, safety});
  }
}

std::string hardest_finding(const ScanRead& scan) {
  return scan.findings.empty() || scan.findings.front().text.empty() ? "" : ": " + scan.findings.front().text;
}

// "The scan of 2026-03-14", "The upper half's scan of 2026-03-14".
std::string which_scan(const LastScan& last) {
  const std::string of = last.scan.of == ScanRead::Subject::core         ? "The scan"
                         : last.scan.of == ScanRead::Subject::half_upper ? "The upper half's scan"
                                                                         : "The lower half's scan";
  return of + " of " + last.at.date();
}

void tell_scans(const BoxState& state, std::vector<Reason>& reasons) {
  for (const auto& [of, last] : state.last_telling_scan) {
    if (last.scan.verdict == ScanRead::Verdict::fit) continue;
    const bool held = last.scan.verdict == ScanRead::Verdict::hold;
    reasons.push_back(
        {held ? Fitness::hold : Fitness::watch,
         which_scan(last) + " says " + std::string(name(last.scan.verdict)) + hardest_finding(last.scan),
         last.entry, false});
  }
  for (const auto& [of, last] : state.last_scan)
    if (last.scan.verdict == ScanRead::Verdict::cannot_tell)
      reasons.push_back({Fitness::fit,
                         which_scan(last) + " (" + last.scan.file_name +
                             ") cannot tell the state of the box; scan it again.",
                         last.entry, false});
}

std::string joined(const std::vector<std::string>& titles) {
  std::string all;
  for (const std::string& title : titles) all += (all.empty() ? "" : ", ") + title;
  return all;
}

void tell_unseen(const BoxState& state, const Catalogue& catalogue, std::vector<Reason>& reasons) {
  if (state.inspected_entry == 0) {
    reasons.push_back({Fitness::watch, "Not inspected yet.", state.registered_entry, false});
    return;
  }
  std::vector<std::string> unseen;
  for (const Checkpoint& point : catalogue.checkpoints)
    if (!state.results.contains(point.id)) unseen.push_back(point.title);
  if (!unseen.empty())
    reasons.push_back(
        {Fitness::watch, "Not inspected yet: " + joined(unseen) + ".", state.inspected_entry, false});
}

void tell_age(const BoxState& state, const Catalogue& catalogue, UtcTime now, std::vector<Reason>& reasons) {
  const LastResult* oldest = nullptr;
  std::size_t old = 0;
  for (const Checkpoint& point : catalogue.checkpoints) {
    const auto last = state.results.find(point.id);
    if (last == state.results.end() || now - last->second.at <= catalogue.inspect_again_after) continue;
    ++old;
    if (oldest == nullptr || last->second.at < oldest->at) oldest = &last->second;
  }
  if (oldest == nullptr) return;
  const std::string days = std::to_string(catalogue.inspect_again_after.count());
  const std::string what = old == 1 ? "1 checkpoint was" : std::to_string(old) + " checkpoints were";
  reasons.push_back({Fitness::watch,
                     what + " last inspected more than " + days + " days ago, on " + oldest->at.date() +
                         " at the earliest (" + days + " days is common practice; a shop may set its own).",
                     oldest->entry, false});
}

// A box that is not in the house can be handed to nobody, however well it was when last seen.
void tell_absence(const BoxState& state, std::vector<Reason>& reasons) {
  const std::string where = state.place.text.empty() ? "" : " (" + state.place.text + ")";
  if (state.place.kind == Place::Kind::missing)
    reasons.push_back({Fitness::watch, "Missing" + where + ": find it and inspect it before it runs.",
                       state.place_entry, false});
  if (state.place.kind == Place::Kind::outside_shop)
    reasons.push_back({Fitness::watch, "At an outside shop" + where + ": inspect it when it is back.",
                       state.place_entry, false});
}

void tell_out_of_use(const BoxState& state, std::vector<Reason>& reasons) {
  if (const auto& scrapped = state.scrapped)
    reasons.push_back({Fitness::hold, "Scrapped on " + scrapped->at.date() + ": " + ended(scrapped->why),
                       scrapped->entry, false});
  if (const auto& apart = state.quarantine)
    reasons.push_back(
        {Fitness::hold,
         "In quarantine since " + apart->at.date() + " by " + apart->who + ": " + ended(apart->why),
         apart->entry, false});
}

void tell_missing_pieces(const BoxState& state, std::vector<Reason>& reasons) {
  for (const auto& [label, piece] : state.kit) {
    if (piece.place.kind != Place::Kind::missing) continue;
    const std::string last =
        piece.last_run.empty() ? "No run had it yet." : "Run " + piece.last_run + " had it last.";
    reasons.push_back({Fitness::hold,
                       "Loose piece " + label + " (" + piece.registered.name + ") is missing. " + last,
                       piece.place_entry, false});
  }
}

void tell_computed(const BoxState& state, std::vector<Reason>& reasons) {
  for (const auto& [what, last] : state.computed) {
    if (last.computed.verdict == Computed::Verdict::fit) continue;
    const bool held = last.computed.verdict == Computed::Verdict::hold;
    reasons.push_back({held ? Fitness::hold : Fitness::watch, ended(last.computed.text), last.entry, false});
  }
}

void tell_suspects(const BoxState& state, std::vector<Reason>& reasons) {
  for (const auto& [number, trace] : state.suspects.traces) {
    if (trace.closed()) continue;
    const std::size_t left = trace.listed.lots.size() - trace.dealt_with.size();
    reasons.push_back({Fitness::watch,
                       std::to_string(left) + (left == 1 ? " lot" : " lots") + " of suspect cores of " +
                           number + " not dealt with yet.",
                       trace.entry, false});
  }
}

// A concession lets the box run; it does not make it fit.
void soften_conceded(const BoxState& state, std::int64_t run_shots, UtcTime now,
                     std::vector<Reason>& reasons) {
  for (Reason& reason : reasons) {
    if (reason.state != Fitness::hold || reason.safety || !conceded_now(state, reason.entry, run_shots, now))
      continue;
    reason.state = Fitness::watch;
    reason.text += " A concession lets it run for a while.";
  }
}

int rank(const Reason& reason) {
  return reason.safety ? 3 : static_cast<int>(reason.state);
}

}  // namespace

std::string_view name(Fitness fitness) {
  constexpr std::array<std::string_view, 3> names{"fit", "watch", "hold"};
  return names[static_cast<std::size_t>(fitness)];
}

Verdict verdict(const BoxState& state, const Catalogue& catalogue, UtcTime now, std::int64_t run_shots) {
  Verdict told;
  if (!state.registered) return {Fitness::hold, {{Fitness::hold, "This box is not registered.", 0, false}}};
  tell_out_of_use(state, told.reasons);
  tell_holds(state, told.reasons);
  tell_failures(state, catalogue, told.reasons);
  tell_scans(state, told.reasons);
  tell_unseen(state, catalogue, told.reasons);
  tell_age(state, catalogue, now, told.reasons);
  tell_absence(state, told.reasons);
  tell_missing_pieces(state, told.reasons);
  tell_computed(state, told.reasons);
  tell_suspects(state, told.reasons);
  const std::int64_t told_shots = state.runs.open ? state.runs.open->shots_told : 0;
  soften_conceded(state, std::max(run_shots, told_shots), now, told.reasons);
  std::stable_sort(told.reasons.begin(), told.reasons.end(),
                   [](const Reason& a, const Reason& b) { return rank(a) > rank(b); });
  for (const Reason& reason : told.reasons) told.state = std::max(told.state, reason.state);
  return told;
}

}  // namespace boxfettle
