// HTTP/1.1 for one program: a listener, connections with limits and deadlines, and a stop that finishes what
// is begun. One thread moves the bytes; handlers run on a few threads beside it, so a handler may wait for
// the disk.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "service/http_message.hpp"
#include "service/router.hpp"

namespace boxfettle {

struct HttpSettings {
  std::string address = "127.0.0.1";
  std::uint16_t port = 8480;                            // 0: any free one
  std::function<std::filesystem::path()> upload_place;  // a fresh name for the body of an upload route
  std::vector<std::pair<std::string, std::string>> headers_of_every_reply;

  std::uint32_t most_header_bytes = 16 * 1024;
  std::uint64_t most_json_bytes = 256 * 1024;
  std::uint64_t most_upload_bytes = std::uint64_t{2} << 30;
  int most_connections = 256;
  int most_uploads = 4;         // at one time; each may fill most_upload_bytes of disk
  int most_event_streams = 64;  // at one time
  int handler_threads = 4;

  std::chrono::milliseconds idle_time{60'000};    // between requests of one connection
  std::chrono::milliseconds header_time{10'000};  // from the first byte of a request to the end of its header
  std::chrono::milliseconds body_time{20'000};    // for a whole JSON body, and for each 256 KiB of an upload
  std::chrono::milliseconds reply_time{30'000};   // for each 1 MiB of a reply
  std::chrono::milliseconds heartbeat{15'000};    // comment line on a silent event stream
  std::chrono::milliseconds stop_time{1'500};     // what is still open then is cut
};

// The address cannot be listened on: taken by another program, or not one of this machine's.
struct CannotListen : std::runtime_error {
  using std::runtime_error::runtime_error;
};

class HttpServer {
 public:
  // Asked of every request before its body is received; may set the request's caller. A reply refuses it.
  using Guard = std::function<std::optional<HttpReply>(HttpRequest&, const Route&)>;
  // Told of faults of ours, one line each. Called from several threads.
  using Tell = std::function<void(const std::string&)>;

  // Listens from here on. `router` outlives the server. Throws CannotListen.
  HttpServer(HttpSettings settings, const Router& router, Guard guard, Tell tell);
  ~HttpServer();

  std::uint16_t port() const;

  // Serves until stop(). Call once.
  void run();
  // Lets run() return: replies begun are finished, event streams end. Safe from any thread, and more than
  // once.
  void stop();
  // SIGINT and SIGTERM call stop(). Before run().
  void stop_on_signals();

 private:
  class Machine;
  std::unique_ptr<Machine> machine_;
};

}  // namespace boxfettle
