#include "service/closing_study.hpp"
#include "service/page_json.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {
namespace {

HttpReply no_box_file(const std::string& id) {
  return problem_reply(
      409, "Box " + id + " has no box file on record, so nothing is known of its dowels and clamps",
      "Register the box again with its box file");
}

HttpReply closing_page(HttpRequest& request, ServiceDesk& desk) {
  const std::string& id = request.path.at("box");
  const auto box = desk.shop.box(id);
  if (!box) return no_such_box(id);
  const auto study = desk.closing.of(*box->registered);
  if (!study) return no_box_file(id);
  const std::vector<PlayReading> play = play_series(desk.store.logbook.of_box(id), [&](UtcTime at) {
    return static_cast<double>(desk.store.shots.between(id, UtcTime{}, at));
  });
  return json_reply(200, closing_page_json(*study, measured_closing(*box), play));
}

HttpReply closing_tried(HttpRequest& request, ServiceDesk& desk) {
  const std::string& id = request.path.at("box");
  const auto box = desk.shop.box(id);
  if (!box) return no_such_box(id);
  const auto study = desk.closing.of(*box->registered);
  if (!study) return no_box_file(id);
  const CoreBox on_record = as_measured(study->box, measured_closing(*box));
  return json_reply(
      200, closing_answer_json(*study, with_tried(on_record, JsonFields::parse(request.body)), false));
}

}  // namespace

void add_closing_routes(Router& router, ServiceDesk& desk) {
  router.add({.pattern = "/api/boxes/{box}/closing",
              .answer = [&desk](HttpRequest& request) { return closing_page(request, desk); }});
  router.add({.method = Method::post,
              .pattern = "/api/boxes/{box}/closing",
              .answer = [&desk](HttpRequest& request) { return closing_tried(request, desk); },
              .body = BodyKind::json});
}

}  // namespace boxfettle
