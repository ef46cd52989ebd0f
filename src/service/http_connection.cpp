#include "service/http_connection.hpp"

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <limits>
#include <system_error>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

namespace net = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using boost::system::error_code;
using net::ip::tcp;
using ParsedHead = http::request_parser<http::empty_body>;

constexpr std::size_t upload_piece = 256 * 1024;

std::optional<Method> method_of(http::verb verb) {
  if (verb == http::verb::get || verb == http::verb::head) return Method::get;
  if (verb == http::verb::post) return Method::post;
  if (verb == http::verb::delete_) return Method::del;
  return {};
}

std::string field(const http::fields& fields, http::field name) {
  const auto found = fields.find(name);
  return found == fields.end() ? std::string() : std::string(found->value());
}

// Whether a name that must stand alone was sent twice: two readers might each believe another one.
bool is_ambiguous(const http::fields& fields) {
  for (const auto name :
       {http::field::host, http::field::origin, http::field::content_type, http::field::cookie})
    if (fields.count(name) > 1) return true;
  return fields.count("Sec-Fetch-Site") > 1;
}

HttpRequest request_from(const ParsedHead& head, Method method, RequestTarget target) {
  const auto& fields = head.get();
  HttpRequest request;
  request.method = method;
  request.target = std::move(target);
  request.host = field(fields, http::field::host);
  request.origin = field(fields, http::field::origin);
  request.fetch_site = std::string(fields["Sec-Fetch-Site"]);
  request.content_type = field(fields, http::field::content_type);
  request.cookie = field(fields, http::field::cookie);
  request.if_none_match = field(fields, http::field::if_none_match);
  request.accept_encoding = field(fields, http::field::accept_encoding);
  if (const auto length = head.content_length()) request.content_length = *length;
  return request;
}

// Calls a handler or the guard, and turns whatever it throws into a reply.
template <class Work>
auto asked(const HttpServer::Tell& tell, const Work& work) -> decltype(work()) {
  try {
    return work();
  } catch (const InputError& error) {
    return problem_reply(422, error.fault(), error.mend(), error.place());
  } catch (const std::exception& error) {
    tell(std::string("a request failed: ") + error.what());
    return problem_reply(500, "Something went wrong here; nothing was changed",
                         "Try again; if it stays, tell whoever looks after this program");
  }
}

HttpReply disk_reply(const std::system_error& error) {
  const bool full = error.code() == std::errc::no_space_on_device;
  return problem_reply(507,
                       full ? "The disk is full" : "The file cannot be stored: " + error.code().message(),
                       "Free some space where the shop's data is kept, then send it again");
}

class Connection : public HttpConnection {
 public:
  Connection(tcp::socket socket, ConnectionHouse& house)
      : house_(house),
        settings_(house.settings),
        stream_(std::move(socket)),
        timer_(std::make_shared<net::steady_timer>(stream_.get_executor())) {
    error_code ignored;
    stream_.socket().set_option(tcp::no_delay(true), ignored);
    const auto place = stream_.socket().remote_endpoint(ignored);
    if (!ignored) address_ = place.address().to_string();
  }

  net::awaitable<void> serve() override {
    for (;;) {
      const bool more = co_await first_bytes_arrive();
      if (!more) break;
      const bool again = co_await one_exchange();
      if (!again || house_.stopping) break;
    }
    co_await part();
  }

  void wind_down() override {
    timer_->cancel();
    if (idle_) stream_.cancel();
  }

  void cut() override {
    timer_->cancel();
    stream_.close();
  }

 private:
  net::awaitable<bool> first_bytes_arrive() {
    if (buffer_.size() > 0) co_return true;
    error_code error;
    idle_ = true;
    stream_.expires_after(settings_.idle_time);
    auto room = buffer_.prepare(4096);
    const std::size_t count =
        co_await stream_.async_read_some(room, net::redirect_error(net::use_awaitable, error));
    idle_ = false;
    buffer_.commit(count);
    co_return !error && !house_.stopping;
  }

  // One request and its reply. False: nothing further can be heard on this connection.
  net::awaitable<bool> one_exchange() {
    ParsedHead head;
    head.header_limit(settings_.most_header_bytes);
    head.body_limit(std::numeric_limits<std::uint64_t>::max());  // judged by the route, below
    error_code error;
    stream_.expires_after(settings_.header_time);
    co_await http::async_read_header(stream_, buffer_, head, net::redirect_error(net::use_awaitable, error));
    if (error) {
      co_await refuse_unread(error);
      co_return false;
    }
    keep_alive_ = head.get().keep_alive();
    head_only_ = head.get().method() == http::verb::head;
    body_unread_ = !head.is_done();
    const HttpReply reply = co_await reply_to(head);
    if (body_unread_) keep_alive_ = false;
    const bool sent = co_await send(reply);
    co_return sent&& keep_alive_;
  }

  // The request is gone, and with it a file nobody kept, before its reply is sent.
  net::awaitable<HttpReply> reply_to(ParsedHead& head) {
    std::variant<Order, HttpReply> order = find_route(head);
    if (HttpReply* refusal = std::get_if<HttpReply>(&order)) co_return std::move(*refusal);
    HttpReply reply = co_await answer(std::get<Order>(order), head);
    co_return reply;
  }

  // A request together with the route that will answer it.
  struct Order {
    HttpRequest request;
    const Route* route;
  };

  std::variant<Order, HttpReply> find_route(const ParsedHead& head) {
    const auto method = method_of(head.get().method());
    if (!method) return problem_reply(405, "This method is not known here", "Use GET, POST or DELETE");
    const auto text = head.get().target();
    auto target = parse_request_target({text.data(), text.size()});
    if (!target || is_ambiguous(head.get()))
      return problem_reply(400, "The request cannot be read", "Check the address and the header fields");
    auto found = house_.router.find(*method, target->segments);
    if (const auto* other = std::get_if<Router::OtherMethod>(&found)) {
      HttpReply reply = problem_reply(405, "This address does not take that method", "Use " + other->allowed);
      reply.headers.emplace_back("Allow", other->allowed);
      return reply;
    }
    auto* match = std::get_if<Router::Match>(&found);
    if (match == nullptr) return problem_reply(404, "There is nothing at this address", "Check the address");
    Order order{request_from(head, *method, std::move(*target)), match->route};
    order.request.path = std::move(match->path);
    order.request.address = address_;
    return order;
  }

  net::awaitable<HttpReply> answer(Order& order, ParsedHead& head) {
    const Route& route = *order.route;
    if (route.body == BodyKind::none && body_unread_)
      co_return problem_reply(413, "This address takes no body", "Send the request without one");
    if (route.body != BodyKind::none) {
      std::optional<HttpReply> refusal = too_long(route, order.request);
      if (!refusal) refusal = co_await elsewhere([this, &order] { return admission(order); });
      if (refusal) co_return std::move(*refusal);
      co_await say_continue(head);
      if (route.body == BodyKind::json)
        refusal = co_await receive_json(order.request, head);
      else
        refusal = co_await receive_upload(order.request, head);
      if (refusal) co_return std::move(*refusal);
    }
    std::optional<HttpReply> reply = co_await elsewhere([this, &order]() -> std::optional<HttpReply> {
      if (order.route->body == BodyKind::none)
        if (auto refusal = admission(order)) return refusal;
      return asked(house_.tell, [&order] { return order.route->answer(order.request); });
    });
    co_return std::move(*reply);
  }

  // On a handler thread.
  std::optional<HttpReply> admission(Order& order) {
    return asked(house_.tell, [this, &order]() -> std::optional<HttpReply> {
      if (auto refusal = house_.guard(order.request, *order.route)) return refusal;
      if (order.route->before_body) return order.route->before_body(order.request);
      return {};
    });
  }

  std::uint64_t most_bytes(const Route& route) const {
    return route.body == BodyKind::json ? settings_.most_json_bytes : settings_.most_upload_bytes;
  }

  std::optional<HttpReply> too_long(const Route& route, const HttpRequest& request) const {
    if (request.content_length.value_or(0) <= most_bytes(route)) return {};
    return too_long_reply(most_bytes(route));
  }

  static HttpReply too_long_reply(std::uint64_t most) {
    return problem_reply(413, "What was sent is larger than " + std::to_string(most / 1024) + " KiB",
                         "Send less; a scan may be thinned or cropped to the part");
  }

  net::awaitable<void> say_continue(const ParsedHead& head) {
    if (!beast::iequals(head.get()[http::field::expect], "100-continue")) co_return;
    error_code error;
    stream_.expires_after(settings_.reply_time);
    constexpr std::string_view text = "HTTP/1.1 100 Continue\r\n\r\n";
    co_await net::async_write(stream_, net::buffer(text), net::redirect_error(net::use_awaitable, error));
  }

  net::awaitable<std::optional<HttpReply>> receive_json(HttpRequest& request, ParsedHead& head) {
    http::request_parser<http::string_body> parser(std::move(head));
    parser.body_limit(settings_.most_json_bytes);
    error_code error;
    stream_.expires_after(settings_.body_time);
    co_await http::async_read(stream_, buffer_, parser, net::redirect_error(net::use_awaitable, error));
    if (error) co_return broken_body(error, settings_.most_json_bytes);
    body_unread_ = false;
    request.body = std::move(parser.get().body());
    co_return std::nullopt;
  }

  std::optional<HttpReply> broken_body(const error_code& error, std::uint64_t most) {
    if (error == http::error::body_limit) return too_long_reply(most);
    return problem_reply(400, "The body broke off or cannot be read: " + error.message(), "Send it again");
  }

  net::awaitable<std::optional<HttpReply>> receive_upload(HttpRequest& request, ParsedHead& head) {
    if (house_.uploads >= settings_.most_uploads) {
      HttpReply reply = problem_reply(503, "Other files are being received", "Send it again in a minute");
      reply.headers.emplace_back("Retry-After", "60");
      co_return reply;
    }
    const Counted counted(house_.uploads);
    try {
      request.upload.emplace(settings_.upload_place());
      std::optional<HttpReply> refusal = co_await receive_pieces(*request.upload, head);
      co_return refusal;
    } catch (const std::system_error& error) {
      co_return disk_reply(error);
    }
  }

  net::awaitable<std::optional<HttpReply>> receive_pieces(UploadedFile& upload, ParsedHead& head) {
    http::request_parser<http::buffer_body> parser(std::move(head));
    parser.body_limit(settings_.most_upload_bytes);
    std::vector<char> piece(upload_piece);
    while (!parser.is_done()) {
      parser.get().body().data = piece.data();
      parser.get().body().size = piece.size();
      error_code error;
      stream_.expires_after(settings_.body_time);
      co_await http::async_read(stream_, buffer_, parser, net::redirect_error(net::use_awaitable, error));
      if (error && error != http::error::need_buffer)
        co_return broken_body(error, settings_.most_upload_bytes);
      const std::span<const char> received(piece.data(), piece.size() - parser.get().body().size);
      co_await elsewhere([&upload, received] {
        upload.append(received);
        return true;
      });
    }
    body_unread_ = false;
    co_await elsewhere([&upload] {
      upload.finish();
      return true;
    });
    co_return std::nullopt;
  }

  // Runs `work` on a handler thread and comes back to the network thread with its result.
  template <class Work>
  auto elsewhere(Work work) -> net::awaitable<decltype(work())> {
    using Result = decltype(work());
    return net::co_spawn(
        house_.handlers, [work = std::move(work)]() -> net::awaitable<Result> { co_return work(); },
        net::use_awaitable);
  }

  net::awaitable<void> refuse_unread(const error_code& error) {
    keep_alive_ = false;
    head_only_ = false;
    body_unread_ = true;
    HttpReply reply;
    if (error == http::error::header_limit || error == http::error::buffer_overflow)
      reply = problem_reply(431, "The request's header is too long", "Send fewer or shorter header fields");
    else if (error.category() == http::make_error_code(http::error::bad_method).category() &&
             error != http::error::end_of_stream && error != http::error::partial_message)
      reply = problem_reply(400, "The request cannot be read: " + error.message(), "Check the client");
    else
      co_return;  // the other side left, or was too slow and is gone
    co_await send(reply);
  }

  template <class Message>
  void put_header(Message& message, const HttpReply& reply) {
    for (const auto& [name, value] : settings_.headers_of_every_reply) message.set(name, value);
    if (!reply.content_type.empty()) message.set(http::field::content_type, reply.content_type);
    message.set(http::field::cache_control, "no-store");
    for (const auto& [name, value] : reply.headers) message.set(name, value);
  }

  net::awaitable<bool> send(const HttpReply& reply) {
    if (reply.events) {
      co_await send_events(reply);
      co_return false;
    }
    using Body = http::span_body<const char>;
    http::response<Body> message(http::int_to_status(static_cast<unsigned>(reply.status)), 11);
    put_header(message, reply);
    const std::size_t size = reply.body ? reply.body->size() : 0;
    message.keep_alive(keep_alive_ && !house_.stopping);
    if (reply.status != 204 && reply.status != 304) message.content_length(size);
    if (size > 0 && !head_only_) message.body() = {reply.body->data(), size};
    http::response_serializer<Body> serializer(message);
    error_code error;
    stream_.expires_after(settings_.reply_time * static_cast<int>(1 + (size >> 20)));
    if (head_only_)
      co_await http::async_write_header(stream_, serializer, net::redirect_error(net::use_awaitable, error));
    else
      co_await http::async_write(stream_, serializer, net::redirect_error(net::use_awaitable, error));
    co_return !error;
  }

  // A number that counts while this lives.
  struct Counted {
    explicit Counted(int& number) : number_(number) { ++number_; }
    ~Counted() { --number_; }
    Counted(const Counted&) = delete;
    Counted& operator=(const Counted&) = delete;
    int& number_;
  };

  net::awaitable<void> send_events(const HttpReply& reply) {
    keep_alive_ = false;
    if (house_.event_streams >= settings_.most_event_streams) {
      const HttpReply full =
          problem_reply(503, "Too many pages listen already", "Close some and load this one again");
      co_await send(full);
      co_return;
    }
    const Counted counted(house_.event_streams);
    http::response<http::empty_body> message(http::status::ok, 11);
    put_header(message, reply);
    message.keep_alive(false);
    http::response_serializer<http::empty_body> serializer(message);
    error_code error;
    stream_.expires_after(settings_.reply_time);
    co_await http::async_write_header(stream_, serializer, net::redirect_error(net::use_awaitable, error));
    if (error) co_return;
    reply.events->wake_with([timer = std::weak_ptr(timer_), network = stream_.get_executor()] {
      net::post(network, [timer] {
        if (const auto alive = timer.lock()) alive->cancel();
      });
    });
    co_await pass_on(reply);
    reply.events->wake_with({});
  }

  net::awaitable<void> pass_on(const HttpReply& reply) {
    std::string text = ": here\n\n";  // the client learns at once that the stream is open
    while (!house_.stopping && !reply.events->lost()) {
      const bool welcome = co_await elsewhere([&reply] { return !reply.welcome || reply.welcome(); });
      if (!welcome) co_return;
      error_code error;
      if (!text.empty()) {
        stream_.expires_after(settings_.reply_time);
        co_await net::async_write(stream_, net::buffer(text), net::redirect_error(net::use_awaitable, error));
        if (error) co_return;
      }
      text = reply.events->take();
      if (!text.empty()) continue;
      timer_->expires_after(settings_.heartbeat);
      co_await timer_->async_wait(net::redirect_error(net::use_awaitable, error));
      text = reply.events->take();
      if (text.empty() && !error) text = ": still here\n\n";
    }
  }

  // Closes so that a reply sent before the request was read to its end still arrives: what the sender has
  // under way is received for a moment and dropped.
  net::awaitable<void> part() {
    error_code error;
    stream_.socket().shutdown(tcp::socket::shutdown_send, error);
    if (body_unread_ && !error) {
      stream_.expires_after(std::chrono::seconds(1));
      std::vector<char> dropped(upload_piece);
      for (int i = 0; i < 64 && !error && !house_.stopping; ++i)
        co_await stream_.async_read_some(net::buffer(dropped),
                                         net::redirect_error(net::use_awaitable, error));
    }
    stream_.close();
  }

  ConnectionHouse& house_;
  const HttpSettings& settings_;
  beast::tcp_stream stream_;
  std::shared_ptr<net::steady_timer> timer_;  // shared: a late wake-up may outlive the connection
  beast::flat_buffer buffer_{64 * 1024};
  std::string address_;
  bool idle_ = false;
  bool keep_alive_ = false;
  bool head_only_ = false;
  bool body_unread_ = false;
};

}  // namespace

std::shared_ptr<HttpConnection> make_connection(tcp::socket socket, ConnectionHouse& house) {
  return std::make_shared<Connection>(std::move(socket), house);
}

}  // namespace boxfettle
