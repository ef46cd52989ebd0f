// Two years in the life of one box, told as the requests people would have sent.
#pragma once

#include "demo/shop_boxes.hpp"
#include "demo/telling.hpp"
#include "shop/checkpoint.hpp"

namespace boxfettle::demo {

// Deterministic: the same box, registration, catalogue and now give the same story.
Story box_story(const ShopBox& box, const BoxRegistered& registration, const Catalogue& catalogue,
                UtcTime now);

}  // namespace boxfettle::demo
