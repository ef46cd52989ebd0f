#include "service/air_asking.hpp"
#include "service/page_json.hpp"

namespace boxfettle {
namespace {

using AnswerWith = std::function<HttpReply(AirInputs&)>;

// The box's inputs, or why there are none.
HttpReply with_inputs(HttpRequest& request, ServiceDesk& desk, const AnswerWith& answer) {
  const std::string& id = request.path.at("box");
  const auto box = desk.shop.box(id);
  if (!box) return no_such_box(id);
  auto inputs = air_inputs(*box, desk.store);
  if (!inputs)
    return problem_reply(
        409, "Box " + id + " has no box file or no design on record, so nothing is known of its vents",
        "Register the box again with its box file and the design of its core");
  return answer(*inputs);
}

HttpReply air_page(HttpRequest& request, ServiceDesk& desk) {
  return with_inputs(request, desk, [&](const AirInputs& inputs) {
    return json_reply(200, air_page_json(inputs, kept_study(inputs, desk.store)));
  });
}

// The same is not worked out twice: not when it is kept, nor when a job for it is open.
HttpReply ask_for_study(HttpRequest& request, ServiceDesk& desk) {
  return with_inputs(request, desk, [&](AirInputs& inputs) {
    inputs.tried = vents_tried(inputs.box, JsonFields::parse(request.body));
    if (const auto kept = kept_study(inputs, desk.store)) return json_reply(200, {{"study", *kept}});
    return json_reply(202, job_json(study_asked_for(inputs, request.caller->person.name, desk)));
  });
}

template <class Find>
HttpReply kept(const Find& find, const std::string& type) {
  const auto found = find();
  if (!found)
    return problem_reply(404, "There is no such study any more", "Ask for it again on the box's page");
  HttpReply reply =
      text_reply(200, type, std::string(reinterpret_cast<const char*>(found->data()), found->size()));
  // A study never changes under its id; only who is signed in may keep it.
  reply.headers.emplace_back("Cache-Control", "private, max-age=86400");
  return reply;
}

}  // namespace

void add_air_routes(Router& router, ServiceDesk& desk) {
  StoredReadings& studies = desk.store.readings;
  router.add({.pattern = "/api/boxes/{box}/air",
              .answer = [&desk](HttpRequest& request) { return air_page(request, desk); }});
  router.add({.method = Method::post,
              .pattern = "/api/boxes/{box}/air",
              .answer = [&desk](HttpRequest& request) { return ask_for_study(request, desk); },
              .body = BodyKind::json});
  router.add({.pattern = "/api/air-studies/{study}", .answer = [&studies](HttpRequest& request) {
                return kept([&] { return studies.json(request.path.at("study")); }, "application/json");
              }});
  router.add({.pattern = "/api/air-studies/{study}/cavity", .answer = [&studies](HttpRequest& request) {
                return kept([&] { return studies.surface(request.path.at("study")); },
                            "application/octet-stream");
              }});
}

}  // namespace boxfettle
