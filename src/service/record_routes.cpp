#include "service/openapi_text.hpp"
#include "service/page_json.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {
namespace {

HttpReply events(const HttpRequest& request, ServiceDesk& desk) {
  HttpReply reply;
  reply.content_type = "text/event-stream";
  reply.events = desk.feed.listen();
  reply.welcome = [&desk, session = request.caller->session] {
    return desk.store.people.session_person(session, desk.now()).has_value();
  };
  return reply;
}

}  // namespace

void add_record_routes(Router& router, ServiceDesk& desk) {
  router.add(
      {.pattern = "/api/events", .answer = [&desk](HttpRequest& request) { return events(request, desk); }});
  router.add({.pattern = "/api/logbook/verify", .answer = [&desk](HttpRequest&) {
                return json_reply(200, chain_check_json(desk.store.logbook.verify()));
              }});
  router.add({.pattern = "/api/openapi.yaml", .answer = [](HttpRequest&) {
                return text_reply(200, "application/yaml", std::string(openapi_text()));
              }});
}

}  // namespace boxfettle
