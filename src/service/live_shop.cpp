#include "service/live_shop.hpp"

#include <nlohmann/json.hpp>
#include <set>

namespace boxfettle {
namespace {

constexpr std::size_t entries_at_once = 1000;

}  // namespace

LiveShop::LiveShop(Store& store, const Catalogue& catalogue, EventFeed& feed)
    : store_(store), catalogue_(catalogue), feed_(feed) {
  catch_up();
}

std::vector<std::shared_ptr<const BoxState>> LiveShop::boxes() {
  catch_up();
  const std::scoped_lock lock(mutex_);
  std::vector<std::shared_ptr<const BoxState>> registered;
  for (const auto& [id, state] : boxes_)
    if (state->registered) registered.push_back(state);
  return registered;
}

std::shared_ptr<const BoxState> LiveShop::box(std::string_view id) {
  catch_up();
  const std::scoped_lock lock(mutex_);
  const auto found = boxes_.find(id);
  return found != boxes_.end() && found->second->registered ? found->second : nullptr;
}

CarriedOut LiveShop::carry_out(const Request& request, const Person& person, UtcTime now) {
  CarriedOut result = boxfettle::carry_out(store_.logbook, request, person, catalogue_, now);
  catch_up();
  return result;
}

void LiveShop::catch_up() {
  std::set<std::string> changed;
  {
    const std::scoped_lock lock(mutex_);
    for (;;) {
      const std::vector<Entry> entries = store_.logbook.since(last_entry_, entries_at_once);
      for (const Entry& entry : entries) {
        auto& state = boxes_[entry.box];
        BoxState before = state ? *state : BoxState{};
        before.box = entry.box;
        state = std::make_shared<const BoxState>(fold(std::move(before), entry));
        last_entry_ = entry.seq;
        changed.insert(entry.box);
      }
      if (entries.size() < entries_at_once) break;
    }
  }
  for (const std::string& box : changed) feed_.publish("box", nlohmann::json{{"box", box}}.dump());
}

}  // namespace boxfettle
