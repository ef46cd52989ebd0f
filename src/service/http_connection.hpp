// One connection of the HTTP server, for http_server.cpp alone. Everything here runs on the server's network
// thread but the guard and the handlers.
#pragma once

// clang-format off
#include <utility>  // first: awaitable.hpp of Boost 1.74 uses std::exchange without it
#include <boost/asio/awaitable.hpp>
// clang-format on
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/thread_pool.hpp>
#include <memory>

#include "service/http_server.hpp"

namespace boxfettle {

// What the connections of one server share.
struct ConnectionHouse {
  const HttpSettings& settings;
  const Router& router;
  const HttpServer::Guard& guard;
  const HttpServer::Tell& tell;
  boost::asio::thread_pool& handlers;
  int uploads = 0;
  int event_streams = 0;
  bool stopping = false;
};

class HttpConnection {
 public:
  virtual ~HttpConnection() = default;
  virtual boost::asio::awaitable<void> serve() = 0;  // until either side is done
  virtual void wind_down() = 0;  // takes no further request; idle waits and event streams end now
  virtual void cut() = 0;
};

std::shared_ptr<HttpConnection> make_connection(boost::asio::ip::tcp::socket socket, ConnectionHouse& house);

}  // namespace boxfettle
