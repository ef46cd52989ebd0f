// The state of every box, folded from the logbook once at start and kept current from then on.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

#include "service/event_feed.hpp"
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

  // Decides, writes, and tells everyone listening which boxes changed. Throws InputError, StoreError.
  CarriedOut carry_out(const Request& request, const Person& person, UtcTime now);

  const Catalogue& catalogue() const { return catalogue_; }

 private:
  void catch_up();

  Store& store_;
  const Catalogue& catalogue_;
  EventFeed& feed_;
  std::mutex mutex_;
  std::map<std::string, std::shared_ptr<const BoxState>, std::less<>> boxes_;
  std::int64_t last_entry_ = 0;
};

}  // namespace boxfettle
