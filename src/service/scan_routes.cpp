#include <filesystem>

#include "geometry/length_unit.hpp"
#include "service/page_json.hpp"
#include "service/scan_job.hpp"
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

std::string unit_of(const HttpRequest& request) {
  const auto found = request.target.query.find("unit");
  return found == request.target.query.end() ? "auto" : found->second;
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
  const std::string unit = unit_of(request);
  if (unit != "auto" && !length_unit_named(unit))
    return problem_reply(422, "is none of auto, mm, cm, m, inch", "Choose one of them", "unit");
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

HttpReply take_scan(HttpRequest& request, ServiceDesk& desk) {
  if (request.upload->size() == 0) return problem_reply(422, "The scan is empty", "Export it again");
  NewJob work;
  work.kind = scan_reading_job;
  work.box = request.path.at("box");
  work.who = request.caller->person.name;
  work.file_name = file_name_of(request);
  work.file = desk.store.files.adopt(request.upload->path());
  work.settings = unit_of(request);
  const Job job = desk.store.jobs.queue(work, desk.now());
  const nlohmann::json told = job_json(job);
  desk.feed.publish("job", written(told));
  desk.wake_worker();
  return json_reply(202, told);
}

HttpReply no_such_job() {
  return problem_reply(404, "There is no such job", "Load the box's page again");
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
  add_reading_routes(router, desk);
}

}  // namespace boxfettle
