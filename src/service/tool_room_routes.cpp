// The tool-room's plan. Raising, beginning and finishing jobs are told like everything else of a box.
#include "service/kept_plan.hpp"
#include "service/page_json.hpp"
#include "service/service_desk.hpp"
#include "service/tool_room_json.hpp"

namespace boxfettle {

void add_tool_room_routes(Router& router, ServiceDesk& desk) {
  router.add({.pattern = "/api/tool-room/plan",
              .answer = [&desk, kept = std::make_shared<KeptPlan>()](HttpRequest&) {
                const UtcTime now = desk.now();
                const auto plan = kept->plan(desk.shop, now);
                return json_reply(200, tool_room_json(*plan, *desk.shop.whole(), desk.shop.boxes(), now));
              }});
}

}  // namespace boxfettle
