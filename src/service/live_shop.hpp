// The state of every box, folded from the logbook once at start and kept current from then on.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

#include "service/event_feed.hpp"
#include "shop/box_search.hpp"
#include "shop/box_state.hpp"
#include "shop/checkpoint.hpp"
#include "shop/requests.hpp"
#include "store/store.hpp"

namespace boxfettle {

// Safe from any thread. A state once handed out never changes.
class LiveShop {
 public:
  // Reads the whole logbook. All three outlive the shop. Throws StoreError.
  LiveShop(Store& store, const Catalogue& catalogue, EventFeed& feed);

  // Registered boxes, in the order of their numbers. Both look first for what other programs wrote meanwhile.
  std::vector<std::shared_ptr<const BoxState>> boxes();
  std::shared_ptr<const BoxState> box(std::string_view id);  // null when no such box is registered

  std::shared_ptr<const ShopState> whole();  // what is known of the shop itself
  std::vector<std::string> find(std::string_view wanted, std::size_t at_most);  // see BoxIndex

  // Cores counted in the box's open run so far; 0 without one.
  std::int64_t run_shots(const BoxState& box);

  // Counts what machines told of the box; lives as long as the shop.
  CoresBetween counter_of(const std::string& box);

  // The checkpoints in force: those the shop wrote, else those the program came with.
  std::shared_ptr<const Catalogue> checkpoints();

  // Decides, writes, and tells everyone listening which boxes changed. Throws InputError, StoreError.
  CarriedOut carry_out(const Request& request, const Person& person, UtcTime now);

 private:
  void catch_up();
  void take(const Entry& entry);

  Store& store_;
  const Catalogue& catalogue_;
  EventFeed& feed_;
  std::mutex mutex_;
  std::map<std::string, std::shared_ptr<BoxState>, std::less<>> boxes_;
  std::shared_ptr<ShopState> whole_ = std::make_shared<ShopState>();
  std::shared_ptr<const Catalogue> written_;  // the shop's own catalogue; null without one
  BoxIndex index_;
  std::int64_t last_entry_ = 0;
};

}  // namespace boxfettle
