// Which handler answers which request.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "service/http_message.hpp"

namespace boxfettle {

enum class BodyKind { none, json, upload };

struct Route {
  Method method = Method::get;
  // "/api/boxes/{box}": a segment in braces matches anything and is kept under that name
  std::string pattern = {};
  std::function<HttpReply(HttpRequest&)> answer = {};
  BodyKind body = BodyKind::none;
  bool needs_sign_in = true;
  // Looks at the request before its body is received; a reply from here saves the sender the transfer. May be
  // empty.
  std::function<std::optional<HttpReply>(const HttpRequest&)> before_body = {};
};

class Router {
 public:
  void add(Route route);
  void otherwise(Route route) { otherwise_ = std::move(route); }  // GET of any path that no pattern fits

  std::vector<std::string> routes() const;  // "GET /api/boxes/{box}", in the order they were added

  struct NoSuchPath {};
  struct OtherMethod {
    std::string allowed;  // "GET, DELETE"
  };
  struct Match {
    const Route* route;
    std::map<std::string, std::string> path;
  };
  std::variant<Match, NoSuchPath, OtherMethod> find(Method method,
                                                    const std::vector<std::string>& segments) const;

 private:
  struct Known {
    Route route;
    std::vector<std::string> segments;
  };
  std::vector<Known> routes_;
  std::optional<Route> otherwise_;
};

std::string_view name(Method method);  // "GET", "POST", "DELETE"

}  // namespace boxfettle
