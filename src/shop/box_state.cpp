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

void tell(BoxState& state, const Entry& entry, const Inspected& body) {
  for (const CheckpointResult& result : body.results)
    state.results[result.checkpoint] = {result, entry.seq, entry.at};
  state.inspected_entry = entry.seq;
  state.inspected_at = entry.at;
}

void tell(BoxState& state, const Entry& entry, const ScanRead& body) {
  state.last_scan = {body, entry.seq, entry.at};
  if (body.verdict != ScanRead::Verdict::cannot_tell) state.last_telling_scan = state.last_scan;
}

void tell(BoxState& state, const Entry& entry, const Held& body) {
  state.holds.push_back({body, entry.seq, entry.at, entry.who});
}

void tell(BoxState& state, const Entry&, const Released& body) {
  std::erase_if(state.holds, [&](const OpenHold& hold) {
    return std::find(body.holds.begin(), body.holds.end(), hold.entry) != body.holds.end();
  });
}

void tell(BoxState&, const Entry&, const NoteWritten&) {}

}  // namespace

BoxState fold(BoxState state, const Entry& entry) {
  if (state.box.empty()) state.box = entry.box;
  if (entry.box != state.box) return state;
  std::visit([&](const auto& body) { tell(state, entry, body); }, entry.body);
  state.requests.insert(entry.request);
  state.last_entry = entry.seq;
  return state;
}

BoxState replay(std::string_view box, std::span<const Entry> entries) {
  BoxState state;
  state.box = box;
  for (const Entry& entry : entries) state = fold(std::move(state), entry);
  return state;
}

}  // namespace boxfettle
