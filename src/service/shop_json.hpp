// What the page is told of runs, loose pieces, suspect cores and the shop as a whole, as openapi.yaml spells
// it.
#pragma once

#include <nlohmann/json.hpp>

#include "shop/box_state.hpp"
#include "shop/checkpoint.hpp"
#include "shop/shop_state.hpp"
#include "shop/stock_take.hpp"
#include "shop/trace.hpp"

namespace boxfettle {

// `run`, `past_runs`, `pieces`, `components`, `concessions`, `quarantine`, `scrapped`, `defects`, `traces`,
// `doubts`, `care`, `tool_room` and `planned_runs` of the box's page.
nlohmann::json standing_json(const BoxState& box, const Catalogue& catalogue, std::int64_t run_shots,
                             UtcTime now);

nlohmann::json shop_json(const ShopState& shop);
nlohmann::json suspects_json(const Suspects& suspects);
nlohmann::json stock_take_json(const StockTake& taken);
nlohmann::json found_box_json(const BoxState& box);  // a line of search results
nlohmann::json place_json(const Place& place);

}  // namespace boxfettle
