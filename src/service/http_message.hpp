// A request and its reply as our own values: handlers never see the HTTP library.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "service/event_feed.hpp"
#include "service/request_target.hpp"
#include "service/uploaded_file.hpp"
#include "shop/role.hpp"

namespace boxfettle {

enum class Method { get, post, del };

// Who sent it, as sign-in found out.
struct Caller {
  Person person;
  std::string session;  // opaque; names the session when signing out
};

struct HttpRequest {
  Method method = Method::get;
  RequestTarget target;
  std::map<std::string, std::string> path;  // what {names} of the route's pattern stood for
  std::string address;                      // the sender's, without port

  // The header fields anyone here asks for; empty when not sent.
  std::string host, origin, fetch_site, content_type, cookie, if_none_match, accept_encoding;
  std::optional<std::uint64_t> content_length;

  std::string body;                    // of a JSON route
  std::optional<UploadedFile> upload;  // of an upload route; the handler moves it away to keep it
  std::optional<Caller> caller;        // set by the guard
};

struct HttpReply {
  int status = 200;
  std::string content_type;
  std::shared_ptr<const std::string> body;  // shared: page files and surfaces go out without a copy
  std::vector<std::pair<std::string, std::string>> headers;

  // Set: after the header an endless stream of events follows, as long as `welcome` says so.
  std::shared_ptr<EventFeed::Listener> events;
  std::function<bool()> welcome;
};

HttpReply text_reply(int status, std::string content_type, std::string body);

// The API's Problem: what is wrong, what to do next, and where, when there is a place.
HttpReply problem_reply(int status, const std::string& what, const std::string& mend,
                        const std::string& place = {});

// The value of one cookie, empty when the request has none of that name.
std::string cookie_value(const HttpRequest& request, std::string_view name);

// What the address asks after its question mark; empty when it does not name it.
std::optional<std::string> asked_text(const HttpRequest& request, const std::string& name);

}  // namespace boxfettle
