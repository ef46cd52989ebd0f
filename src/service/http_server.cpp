#include "service/http_server.hpp"

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <csignal>
#include <exception>
#include <set>

#include "service/http_connection.hpp"

namespace boxfettle {

namespace net = boost::asio;
using net::ip::tcp;

class HttpServer::Machine {
 public:
  Machine(HttpSettings settings, const Router& router, Guard guard, Tell tell)
      : settings_(std::move(settings)),
        guard_(std::move(guard)),
        tell_(std::move(tell)),
        handlers_(static_cast<std::size_t>(settings_.handler_threads)),
        house_{settings_, router, guard_, tell_, handlers_} {
    listen();
  }

  std::uint16_t port() const { return port_; }

  void run() {
    net::co_spawn(network_, accept_all(), net::detached);
    network_.run();
    handlers_.join();
  }

  void stop() {
    net::post(network_, [this] { wind_down(); });
  }

  void stop_on_signals() {
    signals_.add(SIGINT);
    signals_.add(SIGTERM);
    signals_.async_wait([this](const boost::system::error_code& error, int) {
      if (!error) wind_down();
    });
  }

 private:
  void listen() {
    try {
      const tcp::endpoint place(net::ip::make_address(settings_.address), settings_.port);
      acceptor_.open(place.protocol());
      acceptor_.set_option(tcp::acceptor::reuse_address(true));
      acceptor_.bind(place);
      acceptor_.listen();
      port_ = acceptor_.local_endpoint().port();
    } catch (const boost::system::system_error& error) {
      throw CannotListen("cannot listen on " + settings_.address + " port " + std::to_string(settings_.port) +
                         ": " + error.code().message() +
                         "; stop the program that has it, or listen elsewhere");
    }
  }

  net::awaitable<void> accept_all() {
    while (!house_.stopping) {
      boost::system::error_code error;
      tcp::socket socket = co_await acceptor_.async_accept(net::redirect_error(net::use_awaitable, error));
      if (house_.stopping) break;
      if (error) {  // out of descriptors, most likely: wait until some are free again
        pause_.expires_after(std::chrono::milliseconds(100));
        co_await pause_.async_wait(net::redirect_error(net::use_awaitable, error));
        continue;
      }
      if (connections_.size() >= static_cast<std::size_t>(settings_.most_connections)) {
        turn_away(socket);
        continue;
      }
      take_in(std::move(socket));
    }
  }

  void take_in(tcp::socket socket) {
    const auto connection = make_connection(std::move(socket), house_);
    connections_.insert(connection);
    net::co_spawn(network_, connection->serve(), [this, connection](const std::exception_ptr& fault) {
      if (fault) tell_fault(fault);
      connections_.erase(connection);
      if (house_.stopping && connections_.empty()) pause_.cancel();
    });
  }

  void tell_fault(const std::exception_ptr& fault) {
    try {
      std::rethrow_exception(fault);
    } catch (const std::exception& error) {
      tell_(std::string("a connection ended: ") + error.what());
    }
  }

  // Too short to block: it fits the socket's empty send buffer.
  static void turn_away(tcp::socket& socket) {
    boost::system::error_code ignored;
    socket.non_blocking(true, ignored);
    constexpr std::string_view full =
        "HTTP/1.1 503 Service Unavailable\r\nRetry-After: 5\r\nContent-Length: 0\r\nConnection: "
        "close\r\n\r\n";
    socket.write_some(net::buffer(full), ignored);
  }

  void wind_down() {
    if (house_.stopping) return;
    house_.stopping = true;
    boost::system::error_code ignored;
    acceptor_.close(ignored);
    signals_.cancel(ignored);
    pause_.cancel();
    for (const auto& connection : std::set(connections_)) connection->wind_down();
    if (connections_.empty()) return;
    pause_.expires_after(settings_.stop_time);
    pause_.async_wait([this](const boost::system::error_code& error) {
      if (error) return;
      for (const auto& connection : std::set(connections_)) connection->cut();
    });
  }

  const HttpSettings settings_;
  const Guard guard_;
  const Tell tell_;
  net::io_context network_{1};
  net::thread_pool handlers_;
  ConnectionHouse house_;
  tcp::acceptor acceptor_{network_};
  net::signal_set signals_{network_};
  net::steady_timer pause_{network_};
  std::set<std::shared_ptr<HttpConnection>> connections_;
  std::uint16_t port_ = 0;
};

HttpServer::HttpServer(HttpSettings settings, const Router& router, Guard guard, Tell tell)
    : machine_(std::make_unique<Machine>(std::move(settings), router, std::move(guard), std::move(tell))) {}
HttpServer::~HttpServer() = default;
std::uint16_t HttpServer::port() const {
  return machine_->port();
}
void HttpServer::run() {
  machine_->run();
}
void HttpServer::stop() {
  machine_->stop();
}
void HttpServer::stop_on_signals() {
  machine_->stop_on_signals();
}

}  // namespace boxfettle
