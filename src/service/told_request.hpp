// What a page or a gauge tells of a box or the shop, as a request for the logbook.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "shop/requests.hpp"

namespace boxfettle {

// `kind` is a kind of entry: its own fields stand in `json` beside "request". Throws InputError naming the
// field, and for a kind that is not told this way (an inspection, a scan).
Request told_request(const std::string& box, std::string_view kind, const nlohmann::json& json);

}  // namespace boxfettle
