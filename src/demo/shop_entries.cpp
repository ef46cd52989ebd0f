#include "demo/shop_entries.hpp"

#include <algorithm>
#include <cstdio>
#include <map>
#include <stdexcept>
#include <string>

#include "shop/box_state.hpp"
#include "shop/logbook.hpp"
#include "shop/shop_state.hpp"

namespace boxfettle::demo {
namespace {

std::string request_id(std::size_t index) {
  char id[32];
  std::snprintf(id, sizeof id, "tarnmoor-%06zu", index);
  return id;
}

// The shop as it stands while its story is told.
class ShopSoFar {
 public:
  ShopSoFar(std::span<const Story> stories, const Catalogue& catalogue) : catalogue_(catalogue) {
    for (const Story& story : stories)
      for (const ShotCount& count : story.shots) shots_[count.box].push_back(count);
  }

  std::vector<EntryBody> agreed(const Request& request, const Telling& telling) {
    const auto answer = request.box == whole_shop ? decide_for_shop(request, telling.who, shop_)
                                                  : decide(box(request.box), request, telling.who, catalogue_,
                                                           standing(request.box, telling.at));
    if (const auto* refusal = std::get_if<Refusal>(&answer))
      throw std::logic_error(telling.box + " at " + telling.at.iso() + ": " + refusal->what);
    return std::get<std::vector<EntryBody>>(answer);
  }

  void take(const Entry& entry) {
    if (entry.box == whole_shop)
      fold(shop_, entry);
    else
      fold_into(box(entry.box), entry);
  }

 private:
  BoxState& box(const std::string& id) {
    BoxState& state = boxes_[id];
    state.box = id;
    return state;
  }

  Standing standing(const std::string& id, UtcTime now) {
    Standing standing{.now = now};
    standing.shop_care = shop_.care;
    standing.cores_between = [this, id](UtcTime from, UtcTime before) -> std::optional<std::int64_t> {
      return shot(id, from, before);
    };
    if (const auto& run = box(id).runs.open) standing.run_shots = shot(id, run->at, now);
    return standing;
  }

  std::int64_t shot(const std::string& id, UtcTime from, UtcTime before) const {
    const auto counts = shots_.find(id);
    std::int64_t shots = 0;
    if (counts == shots_.end()) return shots;
    for (const ShotCount& count : counts->second)
      if (from <= count.at && count.at < before) shots += count.shots;
    return shots;
  }

  const Catalogue& catalogue_;
  ShopState shop_;
  std::map<std::string, BoxState> boxes_;
  std::map<std::string, std::vector<ShotCount>> shots_;
};

}  // namespace

std::vector<Entry> entries_of(std::span<const Story> stories, const Catalogue& catalogue) {
  Story all;
  for (const Story& story : stories)
    all.tellings.insert(all.tellings.end(), story.tellings.begin(), story.tellings.end());
  put_in_order(all);
  std::vector<Entry> logbook;
  ShopSoFar shop(stories, catalogue);
  Head head;
  for (std::size_t i = 0; i < all.tellings.size(); ++i) {
    const Telling& telling = all.tellings[i];
    const Request request{request_id(i), telling.box, telling.what};
    const Draft draft{telling.at, telling.who.name, request.id, telling.box, shop.agreed(request, telling)};
    for (Entry& entry : append(head, draft)) {
      shop.take(entry);
      head = head_after(entry);
      logbook.push_back(std::move(entry));
    }
  }
  return logbook;
}

}  // namespace boxfettle::demo
