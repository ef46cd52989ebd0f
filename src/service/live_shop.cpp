#include "service/live_shop.hpp"

#include <algorithm>
#include <atomic>
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

std::shared_ptr<const ShopState> LiveShop::whole() {
  catch_up();
  const std::scoped_lock lock(mutex_);
  return whole_;
}

std::vector<std::string> LiveShop::find(std::string_view wanted, std::size_t at_most) {
  catch_up();
  const std::scoped_lock lock(mutex_);
  return index_.find(wanted, at_most);
}

std::shared_ptr<const Catalogue> LiveShop::checkpoints() {
  catch_up();
  const std::scoped_lock lock(mutex_);
  return written_ ? written_ : std::shared_ptr<const Catalogue>(&catalogue_, [](const Catalogue*) {});
}

std::int64_t LiveShop::run_shots(const BoxState& box) {
  if (!box.runs.open) return 0;
  constexpr UtcTime always{253402300799000};  // the last second of the year 9999
  return std::max(box.runs.open->shots_told, store_.shots.between(box.box, box.runs.open->at, always));
}

CoresBetween LiveShop::counter_of(const std::string& box) {
  return [this, box](UtcTime from, UtcTime before) -> std::optional<std::int64_t> {
    const std::int64_t counted = store_.shots.between(box, from, before);
    return counted == 0 ? std::nullopt : std::optional(counted);  // nothing counted: nobody counts here
  };
}

CarriedOut LiveShop::carry_out(const Request& request, const Person& person, UtcTime now) {
  Standing standing{.now = now};
  standing.shop_care = whole()->care;
  if (const auto state = box(request.box)) standing.run_shots = run_shots(*state);
  standing.cores_between = counter_of(request.box);
  CarriedOut result = boxfettle::carry_out(store_.logbook, request, person, *checkpoints(), standing);
  catch_up();
  return result;
}

namespace {

// A state that somebody holds stays as they got it; one that nobody holds grows in place.
template <class State>
State& own(std::shared_ptr<State>& shared) {
  if (!shared)
    shared = std::make_shared<State>();
  else if (shared.use_count() > 1)
    shared = std::make_shared<State>(*shared);
  std::atomic_thread_fence(std::memory_order_acquire);  // after the last reading of whoever let go of it
  return *shared;
}

}  // namespace

void LiveShop::take(const Entry& entry) {
  if (entry.box == whole_shop) {
    fold(own(whole_), entry);
    if (const auto* written = std::get_if<CatalogueWritten>(&entry.body))
      written_ = std::make_shared<const Catalogue>(parse_catalogue(written->toml, "the shop's catalogue"));
  } else {
    BoxState& state = own(boxes_[entry.box]);
    state.box = entry.box;
    fold_into(state, entry);
  }
  last_entry_ = entry.seq;
}

void LiveShop::catch_up() {
  std::set<std::string> changed;
  {
    const std::scoped_lock lock(mutex_);
    for (;;) {
      const std::vector<Entry> entries = store_.logbook.since(last_entry_, entries_at_once);
      for (const Entry& entry : entries) {
        take(entry);
        changed.insert(entry.box);
      }
      if (entries.size() < entries_at_once) break;
    }
    for (const std::string& box : changed)
      if (const auto found = boxes_.find(box); found != boxes_.end()) index_.put(*found->second);
  }
  changed.erase(std::string(whole_shop));
  for (const std::string& box : changed) feed_.publish("box", nlohmann::json{{"box", box}}.dump());
}

}  // namespace boxfettle
