#include <algorithm>

#include "input/input_error.hpp"
#include "service/air_figures.hpp"
#include "service/closing_figures.hpp"
#include "service/page_json.hpp"
#include "service/request_json.hpp"
#include "service/service_desk.hpp"
#include "service/told_figures.hpp"
#include "shop/content_hash.hpp"

namespace boxfettle {
namespace {

// Named by an answer of POST /api/photos; empty when none is named.
std::optional<ContentHash> photo_in(const JsonFields& result, ServiceDesk& desk) {
  const std::string hex = result.text_or_none("photo", 64);
  if (hex.empty()) return {};
  const ContentHash photo = ContentHash::from_hex(hex);
  if (!desk.store.files.find(photo)) result.refuse("photo", "is not kept here", "send the photo first");
  return photo;
}

std::vector<CheckpointResult> results_of(const JsonFields& fields, ServiceDesk& desk) {
  std::vector<CheckpointResult> results;
  for (const JsonFields& result : fields.list("results", 200))
    results.push_back({.checkpoint = result.text("checkpoint", 80),
                       .passed = result.yes_or_no("passed"),
                       .measured = result.number("measured"),
                       .unit = {},
                       .remark = result.text_or_none("remark", 500),
                       .photo = photo_in(result, desk)});
  return results;
}

// Measured values calculated through, so that they come back as reasons. A box file or design that cannot be
// read holds up no inspection: the page of its closing says what is wrong with it.
std::vector<Computed> figures_of_closing(const BoxState& box, ServiceDesk& desk) {
  try {
    if (const auto study = desk.closing.of(*box.registered)) return closing_figures(*study, box);
  } catch (const InputError&) {
  }
  return {};
}

std::vector<Computed> figures_of_vents(const BoxState& box, ServiceDesk& desk) {
  const auto counted = counted_vents(box);
  if (!counted) return {};
  try {
    auto air = air_inputs(box, desk.store);
    if (!air) return {};
    const double blocked = std::clamp(*counted->result.measured, 0.0, 1e6);
    if (auto figure = counted_vents_figure(*std::move(air), static_cast<int>(blocked), counted->entry,
                                           desk.store.files))
      return {*std::move(figure)};
  } catch (const InputError&) {
  }
  return {};
}

void tell_figures_of(const std::string& id, const std::string& inspection, const Person& person,
                     ServiceDesk& desk) {
  const auto box = desk.shop.box(id);
  std::vector<Computed> figures = figures_of_closing(*box, desk);
  for (Computed& figure : figures_of_vents(*box, desk)) figures.push_back(std::move(figure));
  tell_figures(figures, id, inspection, person, desk.shop, desk.now());
}

HttpReply inspect(HttpRequest& request, ServiceDesk& desk) {
  const std::string& box = request.path.at("box");
  if (!desk.shop.box(box)) return no_such_box(box);
  const JsonFields fields = JsonFields::parse(request.body);
  const Request asked{fields.text("request", 64), box, InspectBox{results_of(fields, desk)},
                      fields.whole_number("as_of_entry")};
  const CarriedOut done = desk.shop.carry_out(asked, request.caller->person, desk.now());
  if (const auto* refusal = std::get_if<Refusal>(&done))
    return problem_reply(409, refusal->what, refusal->mend);
  if (!std::get<std::vector<Entry>>(done).empty())
    tell_figures_of(box, asked.id, request.caller->person, desk);
  return box_page_reply(201, box, desk);
}

}  // namespace

HttpReply box_page_reply(int status, const std::string& id, ServiceDesk& desk) {
  const auto box = desk.shop.box(id);
  if (!box) return no_such_box(id);
  return json_reply(status,
                    box_page_json(*box, desk.store.logbook.of_box(id), desk.store.jobs.open_of_box(id),
                                  *desk.shop.checkpoints(), desk.shop.run_shots(*box), desk.now()));
}

HttpReply no_such_box(const std::string& box) {
  return problem_reply(404, "No box " + box + " is registered", "Check the number on its label");
}

void add_box_routes(Router& router, ServiceDesk& desk) {
  router.add({.pattern = "/api/floor", .answer = [&desk](HttpRequest&) {
                const auto boxes = desk.shop.boxes();
                return json_reply(200,
                                  floor_json(desk.shop_name, boxes, *desk.shop.checkpoints(), desk.now()));
              }});
  router.add({.pattern = "/api/boxes/{box}", .answer = [&desk](HttpRequest& request) {
                return box_page_reply(200, request.path.at("box"), desk);
              }});
  router.add({.pattern = "/api/checkpoints/text", .answer = [&desk](HttpRequest&) {
                const auto shop = desk.shop.whole();
                const std::string_view text =
                    shop->catalogue ? std::string_view(shop->catalogue->toml) : shipped_catalogue_text();
                return json_reply(200, {{"toml", text}, {"shipped", !shop->catalogue}});
              }});
  router.add({.pattern = "/api/checkpoints", .answer = [&desk](HttpRequest&) {
                return json_reply(200, catalogue_json(*desk.shop.checkpoints()));
              }});
  router.add({.method = Method::post,
              .pattern = "/api/boxes/{box}/inspections",
              .answer = [&desk](HttpRequest& request) { return inspect(request, desk); },
              .body = BodyKind::json});
}

}  // namespace boxfettle
