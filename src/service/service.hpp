// The shop's service: page, API, sign-in, live updates and the worker, over one store.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "service/http_server.hpp"
#include "service/live_shop.hpp"
#include "service/worker.hpp"
#include "shop/checkpoint.hpp"
#include "store/store.hpp"

namespace boxfettle {

UtcTime clock_time();  // of the machine

struct ServiceSettings {
  std::string shop_name;                      // "Tarnmoor Castings"
  std::optional<std::filesystem::path> page;  // folder of the built page; absent: the API alone
  HttpSettings http;                          // `upload_place` and `headers_of_every_reply` are filled in
  WorkerSettings worker;
  std::function<UtcTime()> now = clock_time;
  std::function<void(const std::string&)> tell = [](const std::string&) {};  // faults of ours, one line each
};

class Service {
 public:
  // Listens and works from here on. `store` and `catalogue` outlive the service. Throws CannotListen,
  // InputError (the page's folder), StoreError.
  Service(Store& store, const Catalogue& catalogue, ServiceSettings settings);
  ~Service();

  std::uint16_t port() const;
  std::vector<std::string> routes() const;  // of the API: "GET /api/boxes/{box}"
  LiveShop& shop();

  void run();              // until stop()
  void stop();             // from any thread
  void stop_on_signals();  // SIGINT, SIGTERM

  // After run(): see Worker::stopped_within.
  bool worker_stopped_within(std::chrono::milliseconds time);

 private:
  struct Rooms;
  std::unique_ptr<Rooms> rooms_;
};

}  // namespace boxfettle
