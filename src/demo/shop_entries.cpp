#include "demo/shop_entries.hpp"

#include <algorithm>
#include <cstdio>
#include <map>
#include <stdexcept>
#include <string>

#include "shop/box_state.hpp"
#include "shop/logbook.hpp"

namespace boxfettle::demo {
namespace {

std::vector<Telling> in_order_of_time(std::span<const BoxStory> stories) {
  std::vector<Telling> all;
  for (const BoxStory& story : stories) all.insert(all.end(), story.tellings.begin(), story.tellings.end());
  std::stable_sort(all.begin(), all.end(), [](const Telling& a, const Telling& b) { return a.at < b.at; });
  return all;
}

std::string request_id(std::size_t index) {
  char id[32];
  std::snprintf(id, sizeof id, "tarnmoor-%06zu", index);
  return id;
}

std::vector<EntryBody> agreed(const BoxState& state, const Request& request, const Telling& telling,
                              const Catalogue& catalogue) {
  const auto answer = decide(state, request, telling.who, catalogue, Standing{.now = telling.at});
  if (const auto* refusal = std::get_if<Refusal>(&answer))
    throw std::logic_error(telling.box + " at " + telling.at.iso() + ": " + refusal->what);
  return std::get<std::vector<EntryBody>>(answer);
}

}  // namespace

std::vector<Entry> entries_of(std::span<const BoxStory> stories, const Catalogue& catalogue) {
  std::vector<Entry> logbook;
  std::map<std::string, BoxState> states;
  Head head;
  const std::vector<Telling> tellings = in_order_of_time(stories);
  for (std::size_t i = 0; i < tellings.size(); ++i) {
    const Telling& telling = tellings[i];
    BoxState& state = states[telling.box];
    state.box = telling.box;
    const Request request{request_id(i), telling.box, telling.what};
    const Draft draft{telling.at, telling.who.name, request.id, telling.box,
                      agreed(state, request, telling, catalogue)};
    for (Entry& entry : append(head, draft)) {
      state = fold(std::move(state), entry);
      head = head_after(entry);
      logbook.push_back(std::move(entry));
    }
  }
  return logbook;
}

}  // namespace boxfettle::demo
