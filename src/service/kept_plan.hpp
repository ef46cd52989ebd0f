// The tool-room's plan, worked out again only when the record or the half hour has changed.
#pragma once

#include <memory>
#include <mutex>

#include "service/live_shop.hpp"
#include "shop/tool_room_plan.hpp"

namespace boxfettle {

// Safe from any thread: who asks while it is being worked out waits for it.
class KeptPlan {
 public:
  std::shared_ptr<const ToolRoomPlan> plan(LiveShop& shop, UtcTime now);

 private:
  struct Standing {
    std::int64_t last_entry = -1;
    std::int64_t half_hour = -1;
    bool operator==(const Standing&) const = default;
  };

  std::mutex mutex_;
  Standing standing_;
  std::shared_ptr<const ToolRoomPlan> plan_;
};

}  // namespace boxfettle
