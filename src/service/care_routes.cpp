// The care that is followed and whose choice it is, for whoever wants to change it.
#include <charconv>

#include "input/input_error.hpp"
#include "service/page_json.hpp"
#include "service/service_desk.hpp"
#include "shop/entry_json.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

json care_json(const CareInForce& in_force) {
  CareChosen rules{in_force.care, ""};
  json told{{"from", name(in_force.from)}, {"care", body_json(rules).value("care", json::array())}};
  if (!in_force.chosen) return told;
  told["process"] = in_force.chosen->process;
  told["months"] = in_force.chosen->months;
  told["why"] = in_force.chosen->why;
  return told;
}

std::int64_t asked_month(const HttpRequest& request, UtcTime now) {
  const auto text = asked_text(request, "month");
  if (!text) return month_of(now);
  std::int64_t month = 0;
  const auto read = std::from_chars(text->data(), text->data() + text->size(), month);
  if (read.ec != std::errc() || read.ptr != text->data() + text->size() || month < 1 || month > 12)
    throw InputError("request", "month", "is no month", "send a number from 1 to 12");
  return month;
}

HttpReply care_of_shop(HttpRequest& request, ServiceDesk& desk) {
  const std::string process = asked_text(request, "process").value_or("");
  return json_reply(
      200, care_json(care_in_force({}, desk.shop.whole()->care, process, asked_month(request, desk.now()))));
}

HttpReply care_of_box(HttpRequest& request, ServiceDesk& desk) {
  const std::string& id = request.path.at("box");
  const auto box = desk.shop.box(id);
  if (!box) return no_such_box(id);
  const auto whole = desk.shop.whole();
  const std::int64_t month = month_of(desk.now());
  const std::string& process = box->registered->process;
  json told = care_json(care_in_force(box->runs.care, whole->care, process, month));
  told["of_the_shop"] = care_json(care_in_force({}, whole->care, process, month));
  told["first_pieces"] = body_json(box->runs.first_pieces.value_or(FirstPiecesChosen{}));
  told["first_pieces"]["chosen"] = box->runs.first_pieces.has_value();
  return json_reply(200, told);
}

}  // namespace

void add_care_routes(Router& router, ServiceDesk& desk) {
  router.add({.pattern = "/api/care",
              .answer = [&desk](HttpRequest& request) { return care_of_shop(request, desk); }});
  router.add({.pattern = "/api/boxes/{box}/care",
              .answer = [&desk](HttpRequest& request) { return care_of_box(request, desk); }});
}

}  // namespace boxfettle
