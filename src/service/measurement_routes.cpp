#include <charconv>
#include <chrono>
#include <cmath>

#include "input/input_error.hpp"
#include "service/air_asking.hpp"
#include "service/measured_chart.hpp"
#include "service/page_json.hpp"
#include "service/request_json.hpp"
#include "service/vent_record.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

constexpr double most_told = 2000, most_baseline = 1000, any_value = 1e12, longest_wait_s = 90 * 86400;

std::optional<double> asked_number(const HttpRequest& request, const std::string& name, double low,
                                   double high) {
  const auto text = asked_text(request, name);
  if (!text) return std::nullopt;
  double value = 0;
  const char* end = text->data() + text->size();
  const auto read = std::from_chars(text->data(), end, value);
  if (read.ec != std::errc() || read.ptr != end || !std::isfinite(value))
    throw InputError("request", name, "is not a number", "send digits, with a point where one is needed");
  if (value < low || value > high)
    throw InputError("request", name, "is out of range",
                     "send a number from " + json(low).dump() + " to " + json(high).dump());
  return value;
}

template <class Count>
Count asked_count(const HttpRequest& request, const std::string& name, double high, Count otherwise,
                  double low = 1) {
  const auto value = asked_number(request, name, low, high);
  if (!value) return otherwise;
  if (*value != std::floor(*value)) throw InputError("request", name, "is not a whole number", "count");
  return static_cast<Count>(*value);
}

json value_json(const NumberedMeasurement& one) {
  json told{{"number", one.number},
            {"at", one.measurement.at.iso()},
            {"who", one.measurement.who},
            {"value", one.measurement.value}};
  if (one.measurement.arrived != one.measurement.at) told["arrived_at"] = one.measurement.arrived.iso();
  if (!one.measurement.run.empty()) told["run"] = one.measurement.run;
  if (const auto& struck = one.struck)
    told["struck"] = {{"at", struck->at.iso()}, {"who", struck->who}, {"why", struck->why}};
  return told;
}

HttpReply measurements(HttpRequest& request, ServiceDesk& desk) {
  const std::string& box = request.path.at("box");
  if (!desk.shop.box(box)) return no_such_box(box);
  StoredMeasurements& kept = desk.store.measurements;
  json told{{"characteristics", json::array()}, {"values", json::array()}};
  for (const Characteristic& one : kept.of_box(box))
    told["characteristics"].push_back(
        {{"of", one.name},
         {"unit", one.unit},
         {"values", one.values},
         {"struck", one.struck},
         {"last_at", one.last_at.iso()}});
  const auto last = asked_count<std::size_t>(request, "last", most_told, MeasuredChartAsked{}.last);
  if (const auto of = asked_text(request, "of"))
    for (const NumberedMeasurement& one : kept.newest(box, *of, last))
      told["values"].push_back(value_json(one));
  return json_reply(200, told);
}

// By how long the sender says it waited, not by the sender's clock, which may be wrong.
UtcTime measured_at(const JsonFields& fields, UtcTime now) {
  const double waited_s = fields.number("waited_s").value_or(0);
  if (waited_s < 0 || waited_s > longest_wait_s)
    fields.refuse("waited_s", "is out of range", "send the seconds since it was measured, at most 90 days");
  return now - std::chrono::milliseconds(std::llround(1000 * waited_s));
}

Measurement measurement_in(const HttpRequest& request, UtcTime now) {
  const JsonFields fields = JsonFields::parse(request.body);
  const auto value = fields.number("value");
  if (!value) fields.refuse("value", "is missing", "give it");
  return {.request = fields.text("request", 64),
          .box = request.path.at("box"),
          .characteristic = fields.text("of", 80),
          .unit = fields.text("unit", 10),
          .at = measured_at(fields, now),
          .arrived = now,
          .who = request.caller->person.name,
          .value = *value,
          .run = fields.text_or_none("run", 80)};
}

// Told to every open page: added, or struck out.
HttpReply told_to_all(const std::variant<NumberedMeasurement, Refusal>& done, ServiceDesk& desk) {
  if (const auto* refusal = std::get_if<Refusal>(&done))
    return problem_reply(409, refusal->what, refusal->mend);
  const auto& kept = std::get<NumberedMeasurement>(done);
  desk.feed.publish("measurement", written({{"box", kept.measurement.box},
                                            {"of", kept.measurement.characteristic},
                                            {"number", kept.number}}));
  return json_reply(201, value_json(kept));
}

// A vent's check, entered or struck out, is calculated through.
HttpReply calculated_through(const std::string& cause, const std::variant<NumberedMeasurement, Refusal>& done,
                             const HttpRequest& request, ServiceDesk& desk) {
  const auto* kept = std::get_if<NumberedMeasurement>(&done);
  if (kept != nullptr && is_vent_check(kept->measurement.characteristic))
    vents_changed(kept->measurement.box, cause, request.caller->person, desk);
  return told_to_all(done, desk);
}

HttpReply enter(HttpRequest& request, ServiceDesk& desk) {
  const std::string& box = request.path.at("box");
  if (!desk.shop.box(box)) return no_such_box(box);
  const Measurement measured = measurement_in(request, desk.now());
  return calculated_through(measured.request, desk.store.measurements.add(measured), request, desk);
}

HttpReply strike(HttpRequest& request, ServiceDesk& desk) {
  const std::string& box = request.path.at("box");
  if (!desk.shop.box(box)) return no_such_box(box);
  const JsonFields fields = JsonFields::parse(request.body);
  const auto number = fields.number("number");
  if (!number || *number < 1 || *number > any_value || *number != std::floor(*number))
    fields.refuse("number", "is no value's number", "send the number of the value, from 1 on");
  const Strike strike{.request = fields.text("request", 64),
                      .box = box,
                      .characteristic = fields.text("of", 80),
                      .number = static_cast<std::int64_t>(*number),
                      .at = desk.now(),
                      .person = request.caller->person,
                      .why = fields.text("why", 500)};
  return calculated_through(strike.request, desk.store.measurements.strike(strike), request, desk);
}

HttpReply chart(HttpRequest& request, ServiceDesk& desk) {
  const std::string& box = request.path.at("box");
  if (!desk.shop.box(box)) return no_such_box(box);
  const auto of = asked_text(request, "of");
  if (!of) return problem_reply(422, "is missing", "Say what was measured", "of");
  const auto measured = desk.store.measurements.characteristic(box, *of);
  if (!measured)
    return problem_reply(404, "No " + *of + " of " + box + " has been measured", "Enter its first value");
  MeasuredChartAsked asked;
  asked.from = asked_count(request, "from", any_value, asked.from);
  asked.baseline = asked_count(request, "baseline", most_baseline, asked.baseline, 2);
  asked.centre = asked_number(request, "centre", -any_value, any_value);
  asked.sigma = asked_number(request, "sigma", 1 / any_value, any_value);
  asked.last = asked_count(request, "last", most_told, asked.last);
  return json_reply(200, measured_chart_json(desk.store.measurements, box, *measured, asked));
}

}  // namespace

void add_measurement_routes(Router& router, ServiceDesk& desk) {
  router.add({.pattern = "/api/boxes/{box}/measurements",
              .answer = [&desk](HttpRequest& request) { return measurements(request, desk); }});
  router.add({.method = Method::post,
              .pattern = "/api/boxes/{box}/measurements",
              .answer = [&desk](HttpRequest& request) { return enter(request, desk); },
              .body = BodyKind::json});
  router.add({.method = Method::post,
              .pattern = "/api/boxes/{box}/measurements/struck",
              .answer = [&desk](HttpRequest& request) { return strike(request, desk); },
              .body = BodyKind::json});
  router.add({.pattern = "/api/boxes/{box}/chart",
              .answer = [&desk](HttpRequest& request) { return chart(request, desk); }});
}

}  // namespace boxfettle
