// What is behind a box's bad cores, and what the shop's confirmed causes have taught.
#include "service/diagnosis_json.hpp"
#include "service/page_json.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {
namespace {

ShopLearning learning_of(ServiceDesk& desk) {
  return shop_learning(shipped_faults(), desk.shop.boxes(), *desk.shop.whole());
}

HttpReply diagnosis(HttpRequest& request, ServiceDesk& desk) {
  const std::string& id = request.path.at("box");
  const auto box = desk.shop.box(id);
  if (!box) return no_such_box(id);
  return json_reply(200, diagnosis_json(*box, learning_of(desk), *desk.shop.checkpoints(), desk.now()));
}

}  // namespace

void add_diagnosis_routes(Router& router, ServiceDesk& desk) {
  router.add({.pattern = "/api/boxes/{box}/diagnosis",
              .answer = [&desk](HttpRequest& request) { return diagnosis(request, desk); }});
  router.add({.pattern = "/api/diagnosis/learning",
              .answer = [&desk](HttpRequest&) { return json_reply(200, learning_json(learning_of(desk))); }});
}

}  // namespace boxfettle
