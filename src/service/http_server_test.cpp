// The HTTP machinery alone, driven over a real socket: limits, deadlines, streams, and a stop that is clean.
#include "service/http_server.hpp"

#include <gmock/gmock.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <thread>

#include "service/request_guard.hpp"
#include "service/test_client.hpp"

namespace boxfettle {
namespace {

using namespace std::chrono_literals;
using testing::HasSubstr;
using testing_client::Answer;
using testing_client::exchange;
using testing_client::Sent;
using testing_client::Wire;

class RunningServer : public testing::Test {
 protected:
  RunningServer() {
    std::filesystem::create_directories(folder_);
    router_.add({Method::get, "/api/hello/{name}", [](HttpRequest& request) {
                   return text_reply(200, "text/plain", request.path.at("name"));
                 }});
    router_.add({Method::get, "/api/large",
                 [](HttpRequest&) { return text_reply(200, "text/plain", std::string(3'000'000, 'x')); }});
    router_.add({Method::get, "/api/broken",
                 [](HttpRequest&) -> HttpReply { throw std::runtime_error("out of sand"); }});
    router_.add({Method::post, "/api/echo",
                 [](HttpRequest& request) { return text_reply(200, "text/plain", request.body); },
                 BodyKind::json});
    router_.add({Method::post, "/api/scan",
                 [](HttpRequest& request) {
                   return text_reply(200, "text/plain",
                                     std::to_string(std::filesystem::file_size(request.upload->path())));
                 },
                 BodyKind::upload});
    router_.add({Method::post, "/api/unwanted", [](HttpRequest&) { return HttpReply{}; }, BodyKind::upload,
                 true,
                 [](const HttpRequest&) { return problem_reply(404, "no such box", "check the number"); }});
    router_.add({Method::get, "/api/events", [this](HttpRequest&) {
                   HttpReply reply;
                   reply.content_type = "text/event-stream";
                   reply.events = feed_.listen();
                   return reply;
                 }});
  }

  ~RunningServer() override {
    if (server_) {
      server_->stop();
      thread_.join();
    }
    std::filesystem::remove_all(folder_);
  }

  void start(HttpSettings settings = {}) {
    settings.port = 0;
    settings.upload_place = [this] { return folder_ / ("upload-" + std::to_string(++uploads_)); };
    settings.headers_of_every_reply = protective_headers();
    server_.emplace(
        std::move(settings), router_,
        [](HttpRequest& request, const Route& route) { return refuse_foreign(request, route, true); },
        [this](const std::string&) { ++told_; });
    port_ = server_->port();
    thread_ = std::thread([this] { server_->run(); });
  }

  // Returns how long it took.
  std::chrono::milliseconds stop() {
    const auto begin = std::chrono::steady_clock::now();
    server_->stop();
    thread_.join();
    server_.reset();
    return std::chrono::duration_cast<std::chrono::milliseconds>(std::chrono::steady_clock::now() - begin);
  }

  std::size_t files_left() const {
    return static_cast<std::size_t>(
        std::distance(std::filesystem::directory_iterator(folder_), std::filesystem::directory_iterator{}));
  }

  const std::filesystem::path folder_ =
      std::filesystem::temp_directory_path() / ("boxfettle_http_" + std::to_string(::getpid()));
  Router router_;
  EventFeed feed_;
  std::optional<HttpServer> server_;
  std::thread thread_;
  std::uint16_t port_ = 0;
  std::atomic<int> uploads_ = 0;
  std::atomic<int> told_ = 0;
};

TEST_F(RunningServer, AnswersSeveralRequestsOnOneConnectionAlsoWhenTheyComeTogether) {
  start();
  Wire wire(port_);
  const std::string a = Sent{.target = "/api/hello/TM-0412"}.text();
  const std::string b = Sent{.target = "/api/hello/TM%2D0427"}.text();
  wire.send(a + b + a);
  EXPECT_EQ(wire.answer().body, "TM-0412");
  EXPECT_EQ(wire.answer().body, "TM-0427");
  EXPECT_EQ(wire.answer().body, "TM-0412");
}

TEST_F(RunningServer, SendsLargeRepliesWholeAndOnlyTheirHeaderToHead) {
  start();
  EXPECT_EQ(exchange(port_, {.target = "/api/large"}).body.size(), 3'000'000u);
  const Answer head = exchange(port_, {.method = "HEAD", .target = "/api/large"});
  EXPECT_EQ(head.status, 200);
  EXPECT_EQ(head.headers.at("content-length"), "3000000");
}

TEST_F(RunningServer, EveryReplyKeepsOtherPagesFromFramingIt) {
  start();
  for (const std::string target : {"/api/hello/x", "/api/nowhere"}) {
    const Answer answer = exchange(port_, {.target = target});
    EXPECT_THAT(answer.headers.at("content-security-policy"), HasSubstr("frame-ancestors 'none'"));
    EXPECT_EQ(answer.headers.at("x-content-type-options"), "nosniff");
    EXPECT_EQ(answer.headers.at("cache-control"), "no-store");
  }
}

TEST_F(RunningServer, UnknownAddressesMethodsAndFaultsAreToldAsWhatTheyAre) {
  start();
  EXPECT_EQ(exchange(port_, {.target = "/api/nowhere"}).status, 404);
  const Answer other = exchange(port_, {.method = "DELETE", .target = "/api/hello/x"});
  EXPECT_EQ(other.status, 405);
  EXPECT_EQ(other.headers.at("allow"), "GET");
  EXPECT_EQ(exchange(port_, {.method = "PATCH", .target = "/api/hello/x"}).status, 405);
  const Answer fault = exchange(port_, {.target = "/api/broken"});
  EXPECT_EQ(fault.status, 500);
  EXPECT_THAT(fault.body, testing::Not(HasSubstr("out of sand")));
  EXPECT_EQ(told_, 1);
}

TEST_F(RunningServer, WhatIsNoHttpIsRefusedAndTheConnectionClosed) {
  start();
  for (const std::string nonsense :
       {"hello there\r\n\r\n", "GET / HTTP/9.9\r\n\r\n", "GET /a b HTTP/1.1\r\n\r\n",
        "GET /../etc/passwd HTTP/1.1\r\nHost: localhost\r\n\r\n",
        "GET /%2e%2e/x HTTP/1.1\r\nHost: localhost\r\n\r\n", "GET /%zz HTTP/1.1\r\nHost: localhost\r\n\r\n",
        "GET /%ff HTTP/1.1\r\nHost: localhost\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: localhost\r\nHost: elsewhere\r\n\r\n",
        "POST /api/echo HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\n"
        "Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n"}) {
    Wire wire(port_);
    wire.send(nonsense);
    EXPECT_EQ(wire.answer().status, 400) << nonsense;
  }
}

TEST_F(RunningServer, AHeaderWithoutEndIsCutOffAtItsLimit) {
  start();
  Wire wire(port_);
  wire.send("GET /api/hello/x HTTP/1.1\r\nHost: localhost\r\nX-Long: " + std::string(40'000, 'a'));
  EXPECT_EQ(wire.answer().status, 431);
  EXPECT_TRUE(wire.closes_within(3s));
}

TEST_F(RunningServer, WhoSendsItsHeaderDropByDropIsShownTheDoor) {
  HttpSettings settings;
  settings.header_time = 400ms;
  start(settings);
  Wire wire(port_);
  const auto begin = std::chrono::steady_clock::now();
  const std::string request = Sent{.target = "/api/hello/x"}.text();
  bool open = true;
  for (std::size_t i = 0; open && i + 1 < request.size(); ++i)
    open = wire.send(request.substr(i, 1)) && !wire.closes_within(50ms);
  EXPECT_FALSE(open);
  EXPECT_LT(std::chrono::steady_clock::now() - begin, 1500ms);
}

TEST_F(RunningServer, AConnectionThatSaysNothingIsClosed) {
  HttpSettings settings;
  settings.idle_time = 200ms;
  start(settings);
  Wire wire(port_);
  EXPECT_TRUE(wire.closes_within(2s));
}

TEST_F(RunningServer, ABodyBeyondTheLimitIsRefusedWithoutReceivingIt) {
  HttpSettings settings;
  settings.most_json_bytes = 1000;
  start(settings);
  const std::string more = std::string(2000, ' ');
  EXPECT_EQ(
      exchange(port_, {.method = "POST", .target = "/api/echo", .body = more, .type = "application/json"})
          .status,
      413);
  Wire wire(port_);
  wire.send(
      "POST /api/echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nTransfer-Encoding: "
      "chunked\r\n\r\n"
      "7d0\r\n" +
      more + "\r\n0\r\n\r\n");
  EXPECT_EQ(wire.answer().status, 413);
  EXPECT_EQ(exchange(port_, {.target = "/api/hello/x", .body = "not asked for"}).status, 413);
}

TEST_F(RunningServer, AScanIsReceivedIntoAFileAndGoneAgainUnlessKept) {
  start();
  const std::string scan(5'000'000, 's');
  const Answer answer = exchange(
      port_, {.method = "POST", .target = "/api/scan", .body = scan, .type = "application/octet-stream"});
  EXPECT_EQ(answer.status, 200);
  EXPECT_EQ(answer.body, "5000000");
  EXPECT_EQ(files_left(), 0u);
}

TEST_F(RunningServer, AnUploadThatBreaksOffLeavesNothing) {
  start();
  {
    Wire wire(port_);
    wire.send(
        "POST /api/scan HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/octet-stream\r\n"
        "Content-Length: 1000000\r\n\r\n" +
        std::string(500'000, 's'));
    for (int i = 0; i < 100 && files_left() == 0; ++i) std::this_thread::sleep_for(20ms);
    EXPECT_EQ(files_left(), 1u);
  }
  for (int i = 0; i < 100 && files_left() > 0; ++i) std::this_thread::sleep_for(20ms);
  EXPECT_EQ(files_left(), 0u);
}

TEST_F(RunningServer, AnUploadNobodyWantsIsRefusedBeforeItIsSent) {
  start();
  Wire wire(port_);
  wire.send(
      "POST /api/unwanted HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/octet-stream\r\n"
      "Expect: 100-continue\r\nContent-Length: 1000000000\r\n\r\n");
  EXPECT_EQ(wire.answer().status, 404);
}

TEST_F(RunningServer, WhoAsksBeforeSendingIsToldToGoOn) {
  start();
  Wire wire(port_);
  wire.send(
      "POST /api/scan HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/octet-stream\r\n"
      "Expect: 100-continue\r\nContent-Length: 4\r\n\r\n");
  EXPECT_EQ(wire.answer().status, 100);
  wire.send("scan");
  EXPECT_EQ(wire.answer().body, "4");
}

TEST_F(RunningServer, ListenersHearWhatIsPublishedAndAHeartbeatInBetween) {
  HttpSettings settings;
  settings.heartbeat = 100ms;
  start(settings);
  Wire wire(port_);
  wire.send(Sent{.target = "/api/events"}.text());
  EXPECT_THAT(wire.receive_until(": here\n\n"), HasSubstr("text/event-stream"));
  feed_.publish("box", R"({"box":"TM-0412"})");
  EXPECT_THAT(wire.receive_until("TM-0412\"}\n\n"), HasSubstr("event: box\ndata: {\"box\":\"TM-0412\"}\n\n"));
  EXPECT_THAT(wire.receive_until(": still here"), HasSubstr(": still here\n\n"));
}

TEST_F(RunningServer, StopsWithinTwoSecondsWithStreamsIdleConnectionsAndHalfRequestsOpen) {
  start();
  Wire listening(port_), idle(port_), half(port_);
  listening.send(Sent{.target = "/api/events"}.text());
  listening.receive_until(": here\n\n");
  half.send(
      "POST /api/echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: "
      "10\r\n\r\nhalf");
  std::this_thread::sleep_for(50ms);
  EXPECT_LT(stop(), 2s);
  EXPECT_TRUE(listening.closes_within(1s));
  EXPECT_TRUE(idle.closes_within(1s));
}

TEST_F(RunningServer, MoreConnectionsThanAllowedAreTurnedAwayUntilOneIsFreed) {
  HttpSettings settings;
  settings.most_connections = 1;
  start(settings);
  {
    Wire first(port_);
    first.send(Sent{.target = "/api/hello/x"}.text());
    EXPECT_EQ(first.answer().status, 200);
    EXPECT_EQ(Wire(port_).answer().status, 503);
  }
  std::this_thread::sleep_for(100ms);
  EXPECT_EQ(exchange(port_, {.target = "/api/hello/x"}).status, 200);
}

TEST_F(RunningServer, RequestsFromOtherPagesAndNamesMadeToPointHereAreRefused) {
  start();
  Sent echo{.method = "POST", .target = "/api/echo", .body = "{}", .type = "application/json"};
  EXPECT_EQ(exchange(port_, echo).status, 200);
  echo.more = "Origin: http://localhost\r\nSec-Fetch-Site: same-origin\r\n";
  EXPECT_EQ(exchange(port_, echo).status, 200);
  echo.more = "Origin: http://elsewhere.example\r\n";
  EXPECT_EQ(exchange(port_, echo).status, 403);
  echo.more = "Origin: null\r\n";
  EXPECT_EQ(exchange(port_, echo).status, 403);
  echo.more = "Sec-Fetch-Site: same-site\r\n";
  EXPECT_EQ(exchange(port_, echo).status, 403);
  echo.more = "";
  echo.type = "text/plain";
  EXPECT_EQ(exchange(port_, echo).status, 415);
  EXPECT_EQ(exchange(port_, {.target = "/api/hello/x", .host = "elsewhere.example"}).status, 421);
  EXPECT_EQ(exchange(port_, {.target = "/api/hello/x", .host = "127.0.0.1:8480"}).status, 200);
}

TEST_F(RunningServer, APortInUseIsSaid) {
  start();
  HttpSettings same;
  same.port = port_;
  try {
    HttpServer(same, router_, {}, {});
    FAIL() << "two servers on one port";
  } catch (const CannotListen& error) {
    EXPECT_THAT(error.what(),
                testing::AllOf(HasSubstr(std::to_string(port_)), HasSubstr("listen elsewhere")));
  }
}

TEST(EventFeed, AListenerThatFallsFarBehindIsLostInsteadOfHoldingMemory) {
  EventFeed feed;
  const auto slow = feed.listen();
  const std::string job(1000, 'j');
  for (int i = 0; i < 1000; ++i) feed.publish("job", job);
  EXPECT_TRUE(slow->lost());
  EXPECT_EQ(slow->take(), "");
}

}  // namespace
}  // namespace boxfettle
