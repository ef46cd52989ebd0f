#include <cmath>
#include <filesystem>

#include "reading/scan_subject.hpp"
#include "service/page_json.hpp"
#include "service/request_json.hpp"
#include "service/scan_job.hpp"
#include "service/scan_order.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {
namespace {

// The name without folders, as some browsers send them; empty when nothing is left or it is too long.
std::string file_name_of(const HttpRequest& request) {
  const auto found = request.target.query.find("file");
  if (found == request.target.query.end()) return {};
  const std::string& sent = found->second;
  const std::string name = sent.substr(sent.find_last_of("/\\") + 1);
  return name.size() > 200 ? std::string() : name;
}

std::string query_of(const HttpRequest& request, const char* key, const char* otherwise) {
  const auto found = request.target.query.find(key);
  return found == request.target.query.end() ? otherwise : found->second;
}

// Absent when the query says what cannot be; `unwanted_scan` has told of it then.
std::optional<ScanOrder> order_of(const HttpRequest& request) {
  return scan_order(query_of(request, "unit", "auto") + " " + query_of(request, "of", "core"));
}

std::optional<HttpReply> unwanted_order(const HttpRequest& request, const BoxState& box) {
  const std::string unit = query_of(request, "unit", "auto"), of = query_of(request, "of", "core");
  if (unit != "auto" && !length_unit_named(unit))
    return problem_reply(422, "is none of auto, mm, cm, m, inch", "Choose one of them", "unit");
  if (!scan_subject_named(of))
    return problem_reply(422, "is none of core, half-upper, half-lower", "Choose one of them", "of");
  if (of != name(ScanSubject::core) && !box.registered->box_file)
    return problem_reply(422,
                         "Box " + box.box + " has no box file on record, and only that says where its halves part",
                         "Register the box again with its box file", "of");
  return {};
}

// Before a scan is received: would it be read at all?
std::optional<HttpReply> unwanted_scan(const HttpRequest& request, ServiceDesk& desk) {
  const std::string& id = request.path.at("box");
  const auto box = desk.shop.box(id);
  if (!box) return no_such_box(id);
  if (!box->registered->design)
    return problem_reply(422, "Box " + id + " has no design on record, so its scans cannot be read",
                         "Register the box again with the design of its core");
  if (file_name_of(request).empty())
    return problem_reply(422, "is missing or longer than 200 bytes", "Give the scan's file name", "file");
  if (auto unwanted = unwanted_order(request, *box)) return unwanted;
  const std::uint64_t size = request.content_length.value_or(0);
  if (size > desk.most_scan_bytes)
    return problem_reply(413,
                         "The scan is larger than " + std::to_string(desk.most_scan_bytes >> 20) + " MiB",
                         "Thin it or crop it to the part, and send it again");
  const std::uintmax_t room = std::filesystem::space(desk.store.files.incoming().parent_path()).available;
  if (size > room / 2)  // the readings, the record and everyone else need room too
    return problem_reply(507, "The disk is nearly full", "Free some space where the shop's data is kept");
  return {};
}

HttpReply queued(const NewJob& work, ServiceDesk& desk) {
  const nlohmann::json told = job_json(desk.store.jobs.queue(work, desk.now()));
  desk.feed.publish("job", written(told));
  desk.wake_worker();
  return json_reply(202, told);
}

HttpReply take_scan(HttpRequest& request, ServiceDesk& desk) {
  if (request.upload->size() == 0) return problem_reply(422, "The scan is empty", "Export it again");
  NewJob work;
  work.kind = scan_reading_job;
  work.box = request.path.at("box");
  work.who = request.caller->person.name;
  work.file_name = file_name_of(request);
  work.file = desk.store.files.adopt(request.upload->path());
  work.settings = written(order_of(request).value());
  return queued(work, desk);
}

HttpReply no_such_job() {
  return problem_reply(404, "There is no such job", "Load the box's page again");
}

// A job that failed since nobody had said which body of the design is the core's, once more with the answer.
HttpReply with_body(HttpRequest& request, ServiceDesk& desk) {
  const auto failed = desk.store.jobs.find(request.path.at("job"));
  if (!failed) return no_such_job();
  const auto order = scan_order(failed->work.settings);
  if (failed->state != JobState::failed || failed->result.empty() || !order)
    return problem_reply(409, "This job does not wait for a choice", "Send the scan again");
  const double body = JsonFields::parse(request.body).number("design_body").value_or(0);
  if (!(body >= 1 && body <= 1e6) || body != std::floor(body))
    return problem_reply(422, "is no body's number", "Choose one of those told", "design_body");
  ScanOrder chosen = *order;
  chosen.design_body = static_cast<std::uint32_t>(body);
  NewJob again = failed->work;
  again.settings = written(chosen);
  again.who = request.caller->person.name;
  return queued(again, desk);
}

HttpReply cancel(HttpRequest& request, ServiceDesk& desk) {
  const std::string& id = request.path.at("job");
  if (!desk.store.jobs.cancel(id)) return no_such_job();
  if (const auto job = desk.store.jobs.find(id)) desk.feed.publish("job", written(job_json(*job)));
  HttpReply reply;
  reply.status = 204;
  return reply;
}

template <class Find>
HttpReply kept(const Find& find, const std::string& type) {
  auto found = find();
  if (!found || found->empty())
    return problem_reply(404, "There is no such reading", "Load the box's page again");
  HttpReply reply =
      text_reply(200, type, std::string(reinterpret_cast<const char*>(found->data()), found->size()));
  // A reading never changes under its id; only who is signed in may keep it.
  reply.headers.emplace_back("Cache-Control", "private, max-age=86400");
  return reply;
}

void add_reading_routes(Router& router, ServiceDesk& desk) {
  StoredReadings& readings = desk.store.readings;
  router.add({.pattern = "/api/readings/{reading}", .answer = [&readings](HttpRequest& request) {
                return kept([&] { return readings.json(request.path.at("reading")); }, "application/json");
              }});
  router.add({.pattern = "/api/readings/{reading}/surface", .answer = [&readings](HttpRequest& request) {
                return kept([&] { return readings.surface(request.path.at("reading")); },
                            "application/octet-stream");
              }});
  router.add({.pattern = "/api/readings/{reading}/section", .answer = [&readings](HttpRequest& request) {
                return kept([&] { return readings.section(request.path.at("reading")); }, "application/json");
              }});
}

}  // namespace

void add_scan_routes(Router& router, ServiceDesk& desk) {
  router.add({.method = Method::post,
              .pattern = "/api/boxes/{box}/scans",
              .answer = [&desk](HttpRequest& request) { return take_scan(request, desk); },
              .body = BodyKind::upload,
              .before_body = [&desk](const HttpRequest& request) { return unwanted_scan(request, desk); }});
  router.add({.pattern = "/api/jobs/{job}", .answer = [&desk](HttpRequest& request) {
                const auto job = desk.store.jobs.find(request.path.at("job"));
                return job ? json_reply(200, job_json(*job)) : no_such_job();
              }});
  router.add({.method = Method::del, .pattern = "/api/jobs/{job}", .answer = [&desk](HttpRequest& request) {
                return cancel(request, desk);
              }});
  router.add({.method = Method::post,
              .pattern = "/api/jobs/{job}/body",
              .answer = [&desk](HttpRequest& request) { return with_body(request, desk); },
              .body = BodyKind::json});
  add_reading_routes(router, desk);
}

}  // namespace boxfettle
