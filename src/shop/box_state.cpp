#include "shop/box_state.hpp"

#include <algorithm>
#include <utility>

namespace boxfettle {
namespace {

void tell(BoxState& state, const Entry& entry, const BoxRegistered& body) {
  state.registered = body;
  state.registered_entry = entry.seq;
  state.registered_at = entry.at;
  if (state.place_entry == 0) state.place = {Place::Kind::bay, body.home_place};
}

void tell(BoxState& state, const Entry& entry, const Moved& body) {
  state.place = body.to;
  state.place_entry = entry.seq;
}

void keep_measured(BoxState& state, const Entry& entry, const CheckpointResult& result) {
  constexpr std::size_t most_kept = 200;
  std::vector<MeasuredThen>& kept = state.measured[result.checkpoint];
  if (kept.size() == most_kept) kept.erase(kept.begin());
  kept.push_back({state.runs.made, *result.measured, entry.seq});
}

void tell(BoxState& state, const Entry& entry, const Inspected& body) {
  for (const CheckpointResult& result : body.results) {
    state.results[result.checkpoint] = {result, entry.seq, entry.at, entry.who};
    if (result.measured) keep_measured(state, entry, result);
  }
  state.inspected_entry = entry.seq;
  state.inspected_at = entry.at;
}

void tell(BoxState& state, const Entry& entry, const ScanRead& body) {
  const LastScan scan{body, entry.seq, entry.at};
  state.last_scan[body.of] = scan;
  if (body.verdict != ScanRead::Verdict::cannot_tell) state.last_telling_scan[body.of] = scan;
}

void tell(BoxState& state, const Entry& entry, const Held& body) {
  state.holds.push_back({body, entry.seq, entry.at, entry.who});
}

void tell(BoxState& state, const Entry&, const Released& body) {
  std::erase_if(state.holds, [&](const OpenHold& hold) {
    return std::find(body.holds.begin(), body.holds.end(), hold.entry) != body.holds.end();
  });
}

void tell(BoxState& state, const Entry& entry, const Computed& body) {
  state.computed[body.what] = {body, entry.seq, entry.at};
}

void tell(BoxState& state, const Entry& entry, const ComponentFitted& body) {
  state.components[body.component] = {body, entry.seq, entry.at, state.runs.made};
}

void tell(BoxState& state, const Entry& entry, const FileFiled& body) {
  state.files[body.name] = {body, entry.seq, entry.at};
}

// A piece's place is the kit's to tell; this is about the box itself.
void tell(BoxState& state, const Entry& entry, const StockTaken& body) {
  if (!body.piece.empty()) return;
  const bool lost = body.outcome == StockTaken::Outcome::missing;
  state.place = lost ? Place{Place::Kind::missing, body.seen.text} : body.seen;
  state.place_entry = entry.seq;
}

void tell(BoxState&, const Entry&, const NoteWritten&) {}

// Of the whole shop: shop_state.cpp hears these.
void tell(BoxState&, const Entry&, const SpareCounted&) {}
void tell(BoxState&, const Entry&, const FitterHours&) {}
void tell(BoxState&, const Entry&, const FitterAway&) {}
void tell(BoxState&, const Entry&, const PlaceRegistered&) {}
void tell(BoxState&, const Entry&, const SandMixed&) {}
void tell(BoxState&, const Entry&, const ShopCareChosen&) {}
void tell(BoxState&, const Entry&, const CatalogueWritten&) {}
void tell(BoxState&, const Entry&, const LearningReset&) {}

void tell(BoxState& state, const Entry& entry, const Conceded& body) {
  state.concessions.push_back({body, entry.seq, entry.at, entry.who, body.made.value_or(state.runs.made)});
}

void tell(BoxState& state, const Entry& entry, const Quarantined& body) {
  state.quarantine = {body.why, entry.seq, entry.at, entry.who};
}

void tell(BoxState& state, const Entry&, const QuarantineLifted&) {
  state.quarantine.reset();
}

void tell(BoxState& state, const Entry& entry, const Scrapped& body) {
  state.scrapped = {body.why, entry.seq, entry.at, entry.who};
}

void tell(BoxState& state, const Entry& entry, const RunOpened& body) {
  state.place = {Place::Kind::station, body.station};
  state.place_entry = entry.seq;
}

// Told before the run is closed in its book: which pieces it had is still known. One that did not come back
// may have been missing for part of the run.
void tell(BoxState& state, const Entry& entry, const RunClosed& body) {
  if (!state.runs.open || state.runs.open->opened.run != body.run) return;
  for (const std::string& had : state.runs.open->opened.pieces)
    if (std::find(body.pieces.begin(), body.pieces.end(), had) == body.pieces.end())
      state.suspects.last_bad["pieces"] = {entry.seq, entry.at};
}

template <class Book>
void tell_if_heard(Book& book, const Entry& entry, const auto& body) {
  if constexpr (requires { tell(book, entry, body); }) tell(book, entry, body);
}

template <class Body>
constexpr bool heard = requires(BoxState state, const Entry& entry, const Body& body) {
  tell(state, entry, body);
}
|| requires(Kit kit, const Entry& entry, const Body& body) {
  tell(kit, entry, body);
}
|| requires(RunBook runs, const Entry& entry, const Body& body) {
  tell(runs, entry, body);
}
|| requires(SuspectBook book, const Entry& entry, const Body& body) {
  tell(book, entry, body);
}
|| requires(JobBook jobs, const Entry& entry, const Body& body) {
  tell(jobs, entry, body);
};

// Every book of the box that listens to this kind of entry.
template <class Body>
void tell_all(BoxState& state, const Entry& entry, const Body& body) {
  static_assert(heard<Body>, "an entry that nobody listens to: say so with an empty `tell`");
  tell_if_heard(state, entry, body);
  tell_if_heard(state.kit, entry, body);
  tell_if_heard(state.runs, entry, body);
  tell_if_heard(state.suspects, entry, body);
  tell_if_heard(state.jobs, entry, body);
}

void note_change(LastChanges& changes, const Entry& entry) {
  const Matters matters = matters_of(entry.body);
  for (std::size_t i = 0; i < matters.size(); ++i)
    if (matters.test(i)) changes[i] = {entry.seq, entry.who};
}

}  // namespace

bool conceded_now(const BoxState& state, std::int64_t entry, std::int64_t shots, UtcTime now) {
  return std::any_of(state.concessions.begin(), state.concessions.end(), [&](const OpenConcession& given) {
    const std::vector<std::int64_t>& covered = given.conceded.holds;
    return now < given.conceded.until && state.runs.made + shots - given.made_before < given.conceded.shots &&
           std::find(covered.begin(), covered.end(), entry) != covered.end();
  });
}

void fold_into(BoxState& state, const Entry& entry) {
  if (state.box.empty()) state.box = entry.box;
  if (entry.box != state.box) return;
  std::visit([&](const auto& body) { tell_all(state, entry, body); }, entry.body);
  note_change(state.changes, entry);
  state.requests.insert(entry.request);
  state.last_entry = entry.seq;
}

BoxState fold(BoxState state, const Entry& entry) {
  fold_into(state, entry);
  return state;
}

BoxState replay(std::string_view box, std::span<const Entry> entries) {
  BoxState state;
  state.box = box;
  for (const Entry& entry : entries) fold_into(state, entry);
  return state;
}

}  // namespace boxfettle
