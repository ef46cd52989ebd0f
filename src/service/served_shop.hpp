// The shop's service for tests as a browser meets it: a real server, a real store, an invented box.
#pragma once

#include <gtest/gtest.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <thread>

#include "service/service.hpp"
#include "service/test_client.hpp"
#include "store/scratch_dir.hpp"

namespace boxfettle {

class ServedShop : public testing::Test {
 protected:
  ServedShop() : store_(scratch_.path() / "data", {.passphrase_cost = {1, 8u << 20}}) {
    store_.people.put({"Ada", Role::operator_}, "sand and resin");
    store_.people.put({"Bo", Role::tooling}, "dowels and bushes");
    std::filesystem::create_directories(page());
    std::ofstream(page() / "index.html") << "<!doctype html><title>Boxfettle</title>";
    std::ofstream(scratch_.path() / "secret.txt") << "not a page file";
    std::filesystem::create_symlink(scratch_.path() / "secret.txt", page() / "link.txt");
    register_box({});
  }

  ~ServedShop() override { close(); }

  std::filesystem::path page() const { return scratch_.path() / "page"; }

  void register_box(BoxRegistered registration) {
    registration.name = "Pump volute core";
    registration.makes = "the core of a pump volute";
    registration.process = "cold-box";
    registration.material = "aluminium";
    registration.home_place = "Rack B, bay 3";
    const Request request{"register-" + std::to_string(++registrations_), "TM-0412",
                          RegisterBox{registration}};
    const CarriedOut done = carry_out(store_.logbook, request, {"Bo", Role::tooling}, shipped_catalogue(),
                                      Standing{.now = clock_time()});
    ASSERT_TRUE(std::holds_alternative<std::vector<Entry>>(done));
  }

  void open() {
    ServiceSettings settings;
    settings.shop_name = "Tarnmoor Castings";
    settings.page = page();
    settings.http.port = 0;
    settings.worker.look_again = std::chrono::milliseconds(50);
    settings.worker.lease.length = std::chrono::seconds(3);
    settings.tell = [](const std::string& line) { ADD_FAILURE() << line; };
    service_.emplace(store_, shipped_catalogue(), std::move(settings));
    thread_ = std::thread([this] { service_->run(); });
  }

  void close() {
    if (!service_) return;
    service_->stop();
    thread_.join();
    service_.reset();
  }

  testing_client::Answer ask(testing_client::Sent sent) {
    if (sent.cookie.empty()) sent.cookie = cookie_;
    return testing_client::exchange(service_->port(), sent);
  }

  testing_client::Answer try_sign_in(const std::string& name, const std::string& passphrase) {
    return ask({.method = "POST",
                .target = "/api/sign-in",
                .body = nlohmann::json{{"name", name}, {"passphrase", passphrase}}.dump(),
                .type = "application/json"});
  }

  void open_as(const std::string& name, const std::string& passphrase) {
    open();
    const testing_client::Answer answer = try_sign_in(name, passphrase);
    ASSERT_EQ(answer.status, 200) << answer.body;
    cookie_ = answer.headers.at("set-cookie");
    cookie_ = cookie_.substr(0, cookie_.find(';'));
  }

  // What every checkpoint said; the one named failed.
  nlohmann::json inspection(const std::string& request, const std::string& failed = "") {
    nlohmann::json results = nlohmann::json::array();
    for (const Checkpoint& checkpoint : shipped_catalogue().checkpoints)
      results.push_back({{"checkpoint", checkpoint.id}, {"passed", checkpoint.id != failed}});
    return {{"request", request}, {"results", results}};
  }

  testing_client::Answer inspect(const nlohmann::json& inspection) {
    return ask({.method = "POST",
                .target = "/api/boxes/TM-0412/inspections",
                .body = inspection.dump(),
                .type = "application/json"});
  }

  nlohmann::json box_page() { return nlohmann::json::parse(ask({.target = "/api/boxes/TM-0412"}).body); }

  testing_client::Answer send_scan(const std::string& bytes, const std::string& query = "file=first.ply") {
    return ask({.method = "POST",
                .target = "/api/boxes/TM-0412/scans?" + query,
                .body = bytes,
                .type = "application/octet-stream"});
  }

  nlohmann::json job_when_over(const std::string& id) {
    for (int i = 0; i < 2400; ++i) {
      const nlohmann::json job = nlohmann::json::parse(ask({.target = "/api/jobs/" + id}).body);
      if (job["state"] != "queued" && job["state"] != "running") return job;
      std::this_thread::sleep_for(std::chrono::milliseconds(50));
    }
    return {};
  }

  ScratchDir scratch_;
  Store store_;
  std::optional<Service> service_;
  std::thread thread_;
  std::string cookie_;
  int registrations_ = 100;
};

}  // namespace boxfettle
