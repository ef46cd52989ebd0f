// Requests that another page has put into somebody's browser, and names that point here by trickery, get no
// further.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "service/http_message.hpp"
#include "service/router.hpp"

namespace boxfettle {

// Whether `host` ("localhost:8480", "[::1]") names this very machine.
bool is_loopback_host(std::string_view host);

// `loopback`: the server listens on this machine only, so a Host header that names another machine comes from
// a name made to point here (DNS rebinding). What changes something must come from our own page: an Origin or
// Sec-Fetch-Site that says otherwise refuses it (programs that are no browsers send neither), and a body must
// be of the route's kind, which no plain form can send.
std::optional<HttpReply> refuse_foreign(const HttpRequest& request, const Route& route, bool loopback);

// Header fields that every reply carries: what the page may load, that no other page may frame it, and the
// like.
std::vector<std::pair<std::string, std::string>> protective_headers();

}  // namespace boxfettle
