// What the handlers ask, and the routes they answer. A handler only parses, asks and answers.
#pragma once

#include <cstdint>
#include <functional>
#include <string>

#include "service/closing_study.hpp"
#include "service/event_feed.hpp"
#include "service/live_shop.hpp"
#include "service/router.hpp"
#include "service/sign_in_throttle.hpp"
#include "store/store.hpp"

namespace boxfettle {

struct ServiceDesk {
  Store& store;
  LiveShop& shop;
  EventFeed& feed;
  std::string shop_name;
  std::function<UtcTime()> now;
  std::function<void()> wake_worker;
  std::uint64_t most_scan_bytes;  // a larger scan would need more memory than a reading may have
  ClosingStudies& closing;
  SignInThrottle throttle = {};
};

// `desk` outlives the router.
void add_sign_in_routes(Router& router, ServiceDesk& desk);
void add_told_routes(Router& router, ServiceDesk& desk);
void add_box_routes(Router& router, ServiceDesk& desk);
void add_file_routes(Router& router, ServiceDesk& desk);
void add_scan_routes(Router& router, ServiceDesk& desk);
void add_closing_routes(Router& router, ServiceDesk& desk);
void add_diagnosis_routes(Router& router, ServiceDesk& desk);
void add_measurement_routes(Router& router, ServiceDesk& desk);
void add_shot_routes(Router& router, ServiceDesk& desk);
void add_care_routes(Router& router, ServiceDesk& desk);
void add_tool_room_routes(Router& router, ServiceDesk& desk);
void add_notice_routes(Router& router, ServiceDesk& desk);  // notices, the calendar
void add_record_routes(Router& router, ServiceDesk& desk);  // events, the logbook's check, openapi.yaml

// Who holds the session of the request's cookie.
std::optional<Caller> caller_of(const HttpRequest& request, ServiceDesk& desk);

HttpReply no_such_box(const std::string& box);
HttpReply box_page_reply(int status, const std::string& box, ServiceDesk& desk);

}  // namespace boxfettle
