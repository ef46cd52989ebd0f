#include "service/service.hpp"

#include <chrono>

#include "service/air_study.hpp"
#include "service/page_files.hpp"
#include "service/request_guard.hpp"
#include "service/scan_job.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {
namespace {

HttpReply no_page(const HttpRequest&) {
  return text_reply(404, "text/plain; charset=utf-8",
                    "The page's files are not here; the API is under /api/.\n"
                    "Build the page (web/) or start with --page FOLDER.\n");
}

bool is_loopback_address(const std::string& address) {
  return address.starts_with("127.") || address == "::1";
}

HttpSettings completed(HttpSettings http, Store& store) {
  http.upload_place = [&store] { return store.files.incoming(); };
  http.headers_of_every_reply = protective_headers();
  return http;
}

}  // namespace

UtcTime clock_time() {
  using namespace std::chrono;
  return {duration_cast<milliseconds>(system_clock::now().time_since_epoch()).count()};
}

struct Service::Rooms {
  Rooms(Store& store, const Catalogue& catalogue, const ServiceSettings& settings)
      : shop(store, catalogue, feed),
        closing(store.files),
        desk{store,           shop,   feed, settings.shop_name, settings.now, [this] { worker.wake(); },
             most_scan_bytes, closing},
        loopback(is_loopback_address(settings.http.address)),
        worker(store, shop, feed, settings.now, settings.tell, settings.worker),
        server(
            completed(settings.http, store), router,
            [this](HttpRequest& request, const Route& route) { return guard(request, route); },
            settings.tell) {
    if (settings.page) page.emplace(*settings.page);
    add_sign_in_routes(router, desk);
    add_box_routes(router, desk);
    add_told_routes(router, desk);
    add_file_routes(router, desk);
    add_scan_routes(router, desk);
    add_closing_routes(router, desk);
    add_air_routes(router, desk);
    add_diagnosis_routes(router, desk);
    add_measurement_routes(router, desk);
    add_shot_routes(router, desk);
    add_care_routes(router, desk);
    add_tool_room_routes(router, desk);
    add_notice_routes(router, desk);
    add_record_routes(router, desk);
    router.otherwise(
        {.answer = [this](HttpRequest& request) { return page ? page->answer(request) : no_page(request); },
         .needs_sign_in = false});
  }

  std::optional<HttpReply> guard(HttpRequest& request, const Route& route) {
    if (auto refusal = refuse_foreign(request, route, loopback)) return refusal;
    if (!route.needs_sign_in) return {};
    request.caller = caller_of(request, desk);
    if (request.caller) return {};
    return problem_reply(401, "You are not signed in", "Sign in first");
  }

  EventFeed feed;
  LiveShop shop;
  ClosingStudies closing;
  ServiceDesk desk;
  Router router;
  std::optional<PageFiles> page;
  const bool loopback;
  Worker worker;
  HttpServer server;
};

Service::Service(Store& store, const Catalogue& catalogue, ServiceSettings settings)
    : rooms_(std::make_unique<Rooms>(store, catalogue, settings)) {}
Service::~Service() = default;
std::uint16_t Service::port() const {
  return rooms_->server.port();
}
std::vector<std::string> Service::routes() const {
  return rooms_->router.routes();
}
LiveShop& Service::shop() {
  return rooms_->shop;
}
void Service::run() {
  rooms_->server.run();
}
void Service::stop() {
  rooms_->server.stop();
}
void Service::stop_on_signals() {
  rooms_->server.stop_on_signals();
}
bool Service::worker_stopped_within(std::chrono::milliseconds time) {
  return rooms_->worker.stopped_within(time);
}

}  // namespace boxfettle
