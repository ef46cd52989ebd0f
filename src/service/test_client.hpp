// A plain HTTP client for the tests: one socket, bytes as written, so that a test can also misbehave.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <chrono>
#include <cstdint>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>

namespace boxfettle::testing_client {

struct Answer {
  int status = 0;                              // 0: the server closed without a reply
  std::map<std::string, std::string> headers;  // names in lower case
  std::string body = {};
};

class Wire {
 public:
  explicit Wire(std::uint16_t port) : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    sockaddr_in place{};
    place.sin_family = AF_INET;
    place.sin_port = htons(port);
    place.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (::connect(socket_, reinterpret_cast<const sockaddr*>(&place), sizeof place) != 0)
      throw std::runtime_error("cannot connect");
  }
  ~Wire() { ::close(socket_); }
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;

  // False when the server has closed.
  bool send(std::string_view bytes) {
    while (!bytes.empty()) {
      const ssize_t sent = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
      if (sent <= 0) return false;
      bytes.remove_prefix(static_cast<std::size_t>(sent));
    }
    return true;
  }

  // Receives until `text` is in what came, the server closes, or the time is over. All that came and was not
  // taken.
  const std::string& receive_until(std::string_view text,
                                   std::chrono::milliseconds time = std::chrono::seconds(10)) {
    const auto end = std::chrono::steady_clock::now() + time;
    while (received_.find(text) == std::string::npos && receive_some(end)) {
    }
    return received_;
  }

  // Whether the server closes (or has closed) within the time.
  bool closes_within(std::chrono::milliseconds time) {
    const auto end = std::chrono::steady_clock::now() + time;
    while (receive_some(end)) {
    }
    return closed_;
  }

  Answer answer(bool head_only = false) {
    Answer result;
    receive_until("\r\n\r\n");
    const std::size_t end = received_.find("\r\n\r\n");
    if (end == std::string::npos) return result;
    read_header(received_.substr(0, end), result);
    received_.erase(0, end + 4);
    if (head_only) return result;
    const auto length = result.headers.find("content-length");
    const std::size_t size = length == result.headers.end() ? 0 : std::stoul(length->second);
    const auto limit = std::chrono::steady_clock::now() + std::chrono::seconds(30);
    while (received_.size() < size && receive_some(limit)) {
    }
    result.body = received_.substr(0, size);
    received_.erase(0, std::min(size, received_.size()));
    return result;
  }

 private:
  bool receive_some(std::chrono::steady_clock::time_point end) {
    const auto left =
        std::chrono::duration_cast<std::chrono::milliseconds>(end - std::chrono::steady_clock::now());
    pollfd ready{socket_, POLLIN, 0};
    if (closed_ || ::poll(&ready, 1, static_cast<int>(std::max<std::int64_t>(left.count(), 0))) <= 0)
      return false;
    char piece[65536];
    const ssize_t count = ::recv(socket_, piece, sizeof piece, 0);
    closed_ = count <= 0;
    if (!closed_) received_.append(piece, static_cast<std::size_t>(count));
    return !closed_;
  }

  static void read_header(const std::string& text, Answer& result) {
    result.status = std::stoi(text.substr(text.find(' ') + 1));
    std::size_t line = text.find("\r\n");
    while (line != std::string::npos) {
      line += 2;
      const std::size_t colon = text.find(':', line);
      const std::size_t end = std::min(text.find("\r\n", line), text.size());
      std::string name = text.substr(line, colon - line);
      std::transform(name.begin(), name.end(), name.begin(), [](unsigned char c) { return std::tolower(c); });
      result.headers[name] = text.substr(colon + 2, end - colon - 2);
      line = text.find("\r\n", line);
    }
  }

  int socket_;
  bool closed_ = false;
  std::string received_;
};

// A request as a browser on this machine would send it from the server's own page.
struct Sent {
  std::string method = "GET";
  std::string target = "/";
  std::string body = {};
  std::string type = {};    // content type; empty: none
  std::string cookie = {};  // "name=value"
  std::string more = {};    // further header lines, each ending in \r\n
  std::string host = "localhost";

  std::string text() const {
    std::string request = method + " " + target + " HTTP/1.1\r\nHost: " + host + "\r\n";
    if (!cookie.empty()) request += "Cookie: " + cookie + "\r\n";
    if (!type.empty()) request += "Content-Type: " + type + "\r\n";
    if (!body.empty() || method == "POST")
      request += "Content-Length: " + std::to_string(body.size()) + "\r\n";
    return request + more + "\r\n" + body;
  }
};

inline Answer exchange(std::uint16_t port, const Sent& sent) {
  Wire wire(port);
  wire.send(sent.text());
  return wire.answer(sent.method == "HEAD");
}

}  // namespace boxfettle::testing_client
