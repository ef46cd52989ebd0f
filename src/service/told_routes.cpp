// Telling the logbook something, finding a box, counting a rack.
#include "input/input_error.hpp"
#include "service/air_asking.hpp"
#include "service/box_on_record.hpp"
#include "service/file_kind.hpp"
#include "service/page_json.hpp"
#include "service/request_json.hpp"
#include "service/shop_json.hpp"
#include "service/told_request.hpp"
#include "service/vent_record.hpp"
#include "shop/content_hash.hpp"
#include "shop/stock_take.hpp"
#include "shop/trace.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

// What the record will rest on is read once before it is written down: a box file of another box, or a design
// nobody can read, is told now and not when the first scan comes.
void expect_readable(const std::string& box, const BoxRegistered& registered, const BoxRegistered& known,
                     const StoredFiles& files) {
  const auto core_box = box_on_record(registered, files);
  if (core_box && registered.box_file != known.box_file && core_box->id != box)
    throw InputError("request", "box_file", "is of box " + core_box->id + ", not of " + box,
                     "send the box file of " + box + ", or mend its id");
  if (!registered.design || registered.design == known.design) return;
  // A STEP design is read when it is needed, by a program of its own.
  if (media_type(kept_file(files, *registered.design, registered.design_name)) == "model/step") return;
  design_on_record(registered, core_box, files, {});
}

bool cleans_vents(const Request& asked) {
  const auto* tell = std::get_if<Tell>(&asked.what);
  const auto* care = tell != nullptr ? std::get_if<CareDone>(&tell->body) : nullptr;
  return care != nullptr && care->care == vent_care;
}

HttpReply tell_box(HttpRequest& request, ServiceDesk& desk) {
  const std::string& box = request.path.at("box");
  const std::string& kind = request.path.at("kind");
  const auto known = desk.shop.box(box);
  if (!known && kind != "registered") return no_such_box(box);
  const Request asked = told_request(box, kind, request.body, known ? *known->registered : BoxRegistered{});
  if (const auto* registering = std::get_if<RegisterBox>(&asked.what))
    expect_readable(box, registering->registration, known ? *known->registered : BoxRegistered{},
                    desk.store.files);
  const CarriedOut done = desk.shop.carry_out(asked, request.caller->person, desk.now());
  if (const auto* refusal = std::get_if<Refusal>(&done))
    return problem_reply(409, refusal->what, refusal->mend);
  if (cleans_vents(asked) && vents_in_doubt(*desk.shop.box(box)))
    vents_changed(box, asked.id, request.caller->person, desk);
  return box_page_reply(201, box, desk);
}

HttpReply tell_shop(HttpRequest& request, ServiceDesk& desk) {
  const Request asked = told_request(std::string(whole_shop), request.path.at("kind"), request.body);
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

// Of a box or piece within a stock-take: the same when the stock-take is sent again, whatever was written
// meanwhile.
std::string line_request(const std::string& stock_take, const StockLine& line) {
  return stock_take + "-" + content_hash(line.box + "\n" + line.taken.piece).hex().substr(0, 15);
}

// One entry for each box and piece. Sent again, those written before stay as they are.
HttpReply take_stock(HttpRequest& request, ServiceDesk& desk) {
  const JsonFields fields = JsonFields::parse(request.body);
  const std::string rack = fields.text("rack", 200);
  const std::string id = fields.text("request", 48);
  const StockTake taken = stock_take(rack, labels_in(fields, rack), desk.shop.boxes());
  for (const StockLine& line : taken.lines) {
    const Request asked{line_request(id, line), line.box, Tell{line.taken}};
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
