#include "service/router.hpp"

namespace boxfettle {
namespace {

bool is_name(const std::string& segment) {
  return segment.size() > 2 && segment.front() == '{';
}

std::optional<std::map<std::string, std::string>> fits(const std::vector<std::string>& pattern,
                                                       const std::vector<std::string>& segments) {
  if (pattern.size() != segments.size()) return {};
  std::map<std::string, std::string> path;
  for (std::size_t i = 0; i < pattern.size(); ++i) {
    if (is_name(pattern[i]))
      path[pattern[i].substr(1, pattern[i].size() - 2)] = segments[i];
    else if (pattern[i] != segments[i])
      return {};
  }
  return path;
}

}  // namespace

void Router::add(Route route) {
  auto segments = parse_request_target(route.pattern)->segments;
  routes_.push_back({std::move(route), std::move(segments)});
}

std::vector<std::string> Router::routes() const {
  std::vector<std::string> all;
  for (const Known& known : routes_)
    all.push_back(std::string(name(known.route.method)) + " " + known.route.pattern);
  return all;
}

std::variant<Router::Match, Router::NoSuchPath, Router::OtherMethod> Router::find(
    Method method, const std::vector<std::string>& segments) const {
  std::string allowed;
  for (const Known& known : routes_) {
    auto path = fits(known.segments, segments);
    if (!path) continue;
    if (known.route.method == method) return Match{&known.route, std::move(*path)};
    if (!allowed.empty()) allowed += ", ";
    allowed += name(known.route.method);
  }
  if (!allowed.empty()) return OtherMethod{allowed};
  const bool api = !segments.empty() && segments.front() == "api";
  if (otherwise_ && !api) {
    if (method == Method::get) return Match{&*otherwise_, {}};
    return OtherMethod{"GET"};
  }
  return NoSuchPath{};
}

std::string_view name(Method method) {
  switch (method) {
    case Method::get:
      return "GET";
    case Method::post:
      return "POST";
    case Method::del:
      return "DELETE";
  }
  return "";
}

}  // namespace boxfettle
