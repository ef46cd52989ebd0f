#include "service/request_guard.hpp"

#include <algorithm>

namespace boxfettle {
namespace {

std::string_view without_port(std::string_view host) {
  const std::size_t after_brackets = host.starts_with('[') ? host.find(']') : 0;
  const std::size_t colon = host.find(':', std::min(after_brackets, host.size()));
  return host.substr(0, colon);
}

bool is_of_type(const HttpRequest& request, std::string_view type) {
  const std::string_view sent = request.content_type;
  if (!sent.starts_with(type)) return false;
  return sent.size() == type.size() || sent[type.size()] == ';' || sent[type.size()] == ' ';
}

bool is_of_our_page(const HttpRequest& request) {
  if (!request.fetch_site.empty() && request.fetch_site != "same-origin") return false;
  return request.origin.empty() || request.origin == "http://" + request.host ||
         request.origin == "https://" + request.host;
}

std::optional<HttpReply> wrong_type(const HttpRequest& request, std::string_view type) {
  if (is_of_type(request, type)) return {};
  return problem_reply(415, "The body is not said to be " + std::string(type),
                       "Send it with Content-Type: " + std::string(type));
}

}  // namespace

bool is_loopback_host(std::string_view host) {
  const std::string_view name = without_port(host);
  return name == "localhost" || name == "127.0.0.1" || name == "[::1]";
}

std::optional<HttpReply> refuse_foreign(const HttpRequest& request, const Route& route, bool loopback) {
  if (request.host.empty()) return problem_reply(400, "The request has no Host field", "Check the client");
  if (loopback && !is_loopback_host(request.host))
    return problem_reply(421, "This program answers on this machine only, not as " + request.host,
                         "Use http://localhost and the port");
  if (route.method == Method::get) return {};
  if (!is_of_our_page(request))
    return problem_reply(403, "The request came from another page",
                         "Open the shop's own page and do it there");
  if (route.body == BodyKind::json) return wrong_type(request, "application/json");
  if (route.body == BodyKind::upload) return wrong_type(request, "application/octet-stream");
  return {};
}

std::vector<std::pair<std::string, std::string>> protective_headers() {
  return {
      // Scripts from here only; 'wasm-unsafe-eval' lets the label reader compile, blob: is its worker and the
      // camera's
      // pictures. Style attributes are set by the page's own components.
      {"Content-Security-Policy",
       "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self' blob:; "
       "img-src 'self' data: blob:; media-src 'self' blob:; style-src 'self'; style-src-attr "
       "'unsafe-inline'; "
       "object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"},
      {"X-Content-Type-Options", "nosniff"},
      {"Referrer-Policy", "same-origin"},
      {"Cross-Origin-Opener-Policy", "same-origin"},
      {"Cross-Origin-Resource-Policy", "same-origin"},
      {"Permissions-Policy", "camera=(self), microphone=(), geolocation=()"},
  };
}

}  // namespace boxfettle
