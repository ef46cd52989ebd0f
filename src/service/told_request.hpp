// What a page or a gauge tells of a box or the shop, as a request for the logbook.
#pragma once

#include <string>
#include <string_view>

#include "shop/requests.hpp"

namespace boxfettle {

// `kind` is a kind of entry: its own fields stand in the JSON object `body` beside "request". Registering
// again keeps what the sender leaves out as `known` has it. Throws InputError naming the field, and for a
// kind that is not told this way (an inspection, a scan, a calculation).
Request told_request(const std::string& box, std::string_view kind, const std::string& body,
                     const BoxRegistered& known = {});

}  // namespace boxfettle
