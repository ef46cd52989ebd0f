// Shots as a machine's counter tells them, minute by minute. They are no entries: there are too many.
#include <cmath>

#include "input/input_error.hpp"
#include "service/page_json.hpp"
#include "service/request_json.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {
namespace {

using namespace std::chrono_literals;

constexpr std::size_t most_minutes = 1500;  // a day without a network, and a little
constexpr double most_in_a_minute = 600;    // no core is shot in less than a tenth of a second
constexpr auto oldest = 24h * 31;
constexpr auto clocks_apart = 2min;  // the counter's from ours

ShotCount count_in(const JsonFields& minute, const std::string& box, UtcTime now) {
  ShotCount count{UtcTime::parse(minute.text("minute", 40)), box, minute.text("station", 200), 0};
  const auto shots = minute.number("count");
  if (!shots) minute.refuse("count", "is missing", "send how many cores were shot in that minute");
  if (*shots < 0 || *shots > most_in_a_minute || *shots != std::floor(*shots))
    minute.refuse("count", "is no count of one minute", "send a whole number from 0 to 600");
  count.shots = static_cast<std::int64_t>(*shots);
  if (count.at > now + clocks_apart)
    minute.refuse("minute", "is still to come", "set the counter's clock (UTC), then send it again");
  if (count.at < now - oldest)
    minute.refuse("minute", "is more than a month ago",
                  "set the counter's clock (UTC); what was made so long ago is told when the run is closed");
  return count;
}

HttpReply count(HttpRequest& request, ServiceDesk& desk) {
  const std::string& id = request.path.at("box");
  const auto box = desk.shop.box(id);
  if (!box) return no_such_box(id);
  const JsonFields fields = JsonFields::parse(request.body);
  std::vector<ShotCount> minutes;
  for (const JsonFields& minute : fields.list("minutes", most_minutes))
    minutes.push_back(count_in(minute, id, desk.now()));
  if (minutes.empty()) fields.refuse("minutes", "is empty", "send at least one minute");
  desk.store.shots.tell(minutes);
  desk.feed.publish("box", written({{"box", id}}));
  return json_reply(201, {{"run_shots", desk.shop.run_shots(*box)}, {"total", desk.store.shots.total(id)}});
}

}  // namespace

void add_shot_routes(Router& router, ServiceDesk& desk) {
  router.add({.method = Method::post,
              .pattern = "/api/boxes/{box}/shots",
              .answer = [&desk](HttpRequest& request) { return count(request, desk); },
              .body = BodyKind::json});
}

}  // namespace boxfettle
