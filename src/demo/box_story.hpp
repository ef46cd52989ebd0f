// Two years in the life of one box, told as the requests people would have sent.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "demo/shop_boxes.hpp"
#include "shop/checkpoint.hpp"
#include "shop/requests.hpp"
#include "shop/utc_time.hpp"
#include "store/shot_tallies.hpp"

namespace boxfettle::demo {

struct Telling {
  UtcTime at;
  Person who;
  std::string box;
  decltype(Request::what) what;
};

struct BoxStory {
  std::vector<Telling> tellings;  // in order of time, none later than now
  std::vector<ShotCount> shots;
};

// Deterministic: the same box, registration, catalogue and now give the same story.
BoxStory box_story(const ShopBox& box, const BoxRegistered& registration, const Catalogue& catalogue,
                   UtcTime now);

}  // namespace boxfettle::demo
