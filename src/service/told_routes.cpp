// Telling the logbook something, finding a box, counting a rack.
#include "service/page_json.hpp"
#include "service/request_json.hpp"
#include "service/service_desk.hpp"
#include "service/shop_json.hpp"
#include "service/told_request.hpp"
#include "shop/stock_take.hpp"
#include "shop/trace.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

json object_in(const HttpRequest& request) {
  json body = json::parse(request.body, nullptr, false);
  if (!body.is_object()) return json::object();  // told_request says what is missing
  return body;
}

HttpReply tell_box(HttpRequest& request, ServiceDesk& desk) {
  const std::string& box = request.path.at("box");
  const std::string& kind = request.path.at("kind");
  if (kind != "registered" && !desk.shop.box(box)) return no_such_box(box);
  if (kind == "registered" && request.caller->person.role != Role::tooling)
    return problem_reply(409, "Registering a box is for tooling", "Ask tooling to register it");
  const CarriedOut done =
      desk.shop.carry_out(told_request(box, kind, object_in(request)), request.caller->person, desk.now());
  if (const auto* refusal = std::get_if<Refusal>(&done))
    return problem_reply(409, refusal->what, refusal->mend);
  return box_page_reply(201, box, desk);
}

HttpReply tell_shop(HttpRequest& request, ServiceDesk& desk) {
  const Request asked = told_request(std::string(whole_shop), request.path.at("kind"), object_in(request));
  const CarriedOut done = desk.shop.carry_out(asked, request.caller->person, desk.now());
  if (const auto* refusal = std::get_if<Refusal>(&done))
    return problem_reply(409, refusal->what, refusal->mend);
  return json_reply(201, shop_json(*desk.shop.whole()));
}

HttpReply find(HttpRequest& request, ServiceDesk& desk) {
  const auto words = asked_text(request, "words");
  if (!words) return problem_reply(422, "is missing", "Say what to look for", "words");
  json found = json::array();
  for (const std::string& id : desk.shop.find(*words, 50))
    if (const auto box = desk.shop.box(id)) found.push_back(found_box_json(*box));
  return json_reply(200, {{"boxes", std::move(found)}});
}

HttpReply doubt(HttpRequest& request, ServiceDesk& desk) {
  const std::string& id = request.path.at("box");
  const auto box = desk.shop.box(id);
  if (!box) return no_such_box(id);
  const auto property = asked_text(request, "property");
  if (!property) return problem_reply(422, "is missing", "Say what is in doubt", "property");
  std::optional<UtcTime> from;
  if (const auto text = asked_text(request, "from")) from = UtcTime::parse(*text);
  return json_reply(200,
                    suspects_json(suspects(*box, *property, desk.shop.counter_of(id), desk.now(), from)));
}

std::vector<LabelRead> labels_in(const JsonFields& fields, const std::string& rack) {
  std::vector<LabelRead> read;
  for (const JsonFields& label : fields.list("read", 5000)) {
    const std::string bay = label.text_or_none("bay", 200);
    read.push_back({label.text("code", 200), {Place::Kind::bay, bay.empty() ? rack : bay}});
  }
  return read;
}

// One entry for each box and piece; the rack is counted again by sending it again: what was written stays.
HttpReply take_stock(HttpRequest& request, ServiceDesk& desk) {
  const JsonFields fields = JsonFields::parse(request.body);
  const std::string rack = fields.text("rack", 200);
  const std::string id = fields.text("request", 56);
  const StockTake taken = stock_take(rack, labels_in(fields, rack), desk.shop.boxes());
  for (std::size_t i = 0; i < taken.lines.size(); ++i) {
    const Request asked{id + "-" + std::to_string(i), taken.lines[i].box, Tell{taken.lines[i].taken}};
    const CarriedOut done = desk.shop.carry_out(asked, request.caller->person, desk.now());
    if (const auto* refusal = std::get_if<Refusal>(&done))
      return problem_reply(409, refusal->what, refusal->mend);
  }
  return json_reply(201, stock_take_json(taken));
}

}  // namespace

void add_told_routes(Router& router, ServiceDesk& desk) {
  router.add({.method = Method::post,
              .pattern = "/api/boxes/{box}/told/{kind}",
              .answer = [&desk](HttpRequest& request) { return tell_box(request, desk); },
              .body = BodyKind::json});
  router.add({.method = Method::post,
              .pattern = "/api/shop/told/{kind}",
              .answer = [&desk](HttpRequest& request) { return tell_shop(request, desk); },
              .body = BodyKind::json});
  router.add({.pattern = "/api/shop",
              .answer = [&desk](HttpRequest&) { return json_reply(200, shop_json(*desk.shop.whole())); }});
  router.add(
      {.pattern = "/api/find", .answer = [&desk](HttpRequest& request) { return find(request, desk); }});
  router.add({.pattern = "/api/boxes/{box}/doubt",
              .answer = [&desk](HttpRequest& request) { return doubt(request, desk); }});
  router.add({.method = Method::post,
              .pattern = "/api/stock-takes",
              .answer = [&desk](HttpRequest& request) { return take_stock(request, desk); },
              .body = BodyKind::json});
}

}  // namespace boxfettle
