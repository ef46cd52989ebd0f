// What the page is told of the tool-room's plan, as openapi.yaml spells it.
#pragma once

#include <memory>
#include <nlohmann/json.hpp>
#include <span>

#include "shop/box_state.hpp"
#include "shop/shop_state.hpp"
#include "shop/tool_room_plan.hpp"

namespace boxfettle {

// The plan's jobs with what is to be done, the runs with what holds them up, jobs that findings propose, and
// the spares on the shelf.
nlohmann::json tool_room_json(const ToolRoomPlan& plan, const ShopState& shop,
                              std::span<const std::shared_ptr<const BoxState>> boxes, UtcTime now);

}  // namespace boxfettle
