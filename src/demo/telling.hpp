// What people of the invented shop told its record, one request after the other.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "shop/requests.hpp"
#include "shop/utc_time.hpp"
#include "store/shot_tallies.hpp"

namespace boxfettle::demo {

struct Telling {
  UtcTime at;
  Person who;
  std::string box;  // or `whole_shop`
  decltype(Request::what) what;
};

struct Story {
  std::vector<Telling> tellings;  // in order of time once the story is told, none later than now
  std::vector<ShotCount> shots;

  void tell(UtcTime at, const Person& who, std::string_view box, decltype(Request::what) what) {
    tellings.push_back({at, who, std::string(box), std::move(what)});
  }
};

void put_in_order(Story& story);  // of time; what was told at the same moment stays as it was told

}  // namespace boxfettle::demo
