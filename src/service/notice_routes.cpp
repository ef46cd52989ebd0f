// What one should know on looking in, and the same as a calendar.
#include <algorithm>
#include <charconv>

#include "input/input_error.hpp"
#include "paper/calendar_feed.hpp"
#include "service/page_json.hpp"
#include "service/service_desk.hpp"
#include "shop/notices.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

constexpr std::int64_t looked_at_first = 50, most_looked_at = 1000;

std::optional<std::int64_t> asked_since(const HttpRequest& request) {
  const auto text = asked_text(request, "since");
  if (!text) return std::nullopt;
  std::int64_t since = 0;
  const char* end = text->data() + text->size();
  const auto read = std::from_chars(text->data(), end, since);
  if (read.ec != std::errc() || read.ptr != end || since < 0)
    throw InputError("request", "since", "is no entry's number", "send a whole number, 0 or more");
  return since;
}

json due_json(const DueItem& item) {
  json told{{"what", name(item.what)}, {"id", item.id}, {"box", item.box}, {"text", item.text}, {"at", item.at.iso()}};
  if (item.entry > 0) told["entry"] = item.entry;
  return told;
}

json change_json(const Change& change) {
  return {{"entry", change.entry},
          {"at", change.at.iso()},
          {"who", change.who},
          {"box", change.box},
          {"text", change.text}};
}

std::vector<DueItem> due_now(ServiceDesk& desk) {
  return due_items(*desk.shop.whole(), desk.shop.boxes(), *desk.shop.checkpoints(), desk.now());
}

HttpReply looked_in(const HttpRequest& request, ServiceDesk& desk) {
  const Person& person = request.caller->person;
  const std::int64_t last = desk.store.logbook.head().seq;
  const std::int64_t since = std::max(asked_since(request).value_or(last - looked_at_first), last - most_looked_at);
  const std::vector<Entry> entries =
      desk.store.logbook.since(std::max<std::int64_t>(since, 0), static_cast<std::size_t>(most_looked_at));
  const UtcTime now = desk.now();
  const Notices told = notices(person, entries, due_now(desk), now);
  json answer{{"at", now.iso()},
              {"last_entry", last},
              {"changed", json::array()},
              {"overdue", json::array()},
              {"due", json::array()},
              {"calendar", "/calendar.ics?token=" + desk.store.people.calendar_token(person.name)}};
  for (const Change& change : told.changed) answer["changed"].push_back(change_json(change));
  for (const DueItem& item : told.overdue) answer["overdue"].push_back(due_json(item));
  for (const DueItem& item : told.due) answer["due"].push_back(due_json(item));
  return json_reply(200, answer);
}

HttpReply calendar(const HttpRequest& request, ServiceDesk& desk) {
  const auto person = desk.store.people.calendar_person(asked_text(request, "token").value_or(""));
  if (!person)
    return problem_reply(401, "This calendar address opens nothing",
                         "Sign in to the page and take the address from the notices: a new passphrase changes it");
  std::vector<DueItem> items = due_now(desk);
  std::erase_if(items, [&](const DueItem& item) {
    return std::find(item.roles.begin(), item.roles.end(), person->role) == item.roles.end();
  });
  const std::string address = request.host.empty() ? "" : "http://" + request.host;
  return text_reply(200, "text/calendar; charset=utf-8",
                    calendar_feed(desk.shop_name + ": due", items, desk.now(), address));
}

}  // namespace

void add_notice_routes(Router& router, ServiceDesk& desk) {
  router.add({.pattern = "/api/notices",
              .answer = [&desk](HttpRequest& request) { return looked_in(request, desk); }});
  router.add({.pattern = "/calendar.ics",
              .answer = [&desk](HttpRequest& request) { return calendar(request, desk); },
              .needs_sign_in = false});
}

}  // namespace boxfettle
