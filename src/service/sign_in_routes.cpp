#include <chrono>

#include "service/page_json.hpp"
#include "service/request_json.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {
namespace {

using namespace std::chrono_literals;

constexpr std::string_view cookie_name = "boxfettle_session";
constexpr std::chrono::minutes session_lifetime = 12h;  // a long shift

// Secure is left out: the program itself speaks plain HTTP on this machine, and a browser would drop the
// cookie.
std::pair<std::string, std::string> session_cookie(const std::string& token, std::chrono::seconds lifetime) {
  return {"Set-Cookie",
          std::string(cookie_name) + "=" + token +
              "; HttpOnly; SameSite=Strict; Path=/; Max-Age=" + std::to_string(lifetime.count())};
}

nlohmann::json me_json(const std::string& name, std::string_view role, const ServiceDesk& desk) {
  return {{"name", name}, {"role", role}, {"shop", desk.shop_name}};
}

HttpReply sign_in(HttpRequest& request, ServiceDesk& desk) {
  const JsonFields fields = JsonFields::parse(request.body);
  const std::string name = fields.text("name", 80);
  const std::string passphrase = fields.text("passphrase", 200);
  if (const auto wait = desk.throttle.begin_try(name, request.address, desk.now())) {
    const std::string seconds = std::to_string(wait->count());
    HttpReply reply =
        problem_reply(429, "Too many wrong passphrases", "Wait " + seconds + " s, then try again");
    reply.headers.emplace_back("Retry-After", seconds);
    return reply;
  }
  const auto person = desk.store.people.verify_passphrase(name, passphrase);
  if (!person)
    return problem_reply(401, "Name and passphrase do not go together",
                         "Check both; capitals and spaces count");
  desk.throttle.was_right(name, request.address);
  desk.store.people.drop_expired_sessions(desk.now());
  const std::string token = desk.store.people.open_session(person->name, desk.now(), session_lifetime);
  HttpReply reply = json_reply(200, me_json(person->name, boxfettle::name(person->role), desk));
  reply.headers.push_back(session_cookie(token, session_lifetime));
  return reply;
}

HttpReply sign_out(HttpRequest& request, ServiceDesk& desk) {
  desk.store.people.close_session(request.caller->session);
  HttpReply reply;
  reply.status = 204;
  reply.headers.push_back(session_cookie("", 0s));
  return reply;
}

}  // namespace

std::optional<Caller> caller_of(const HttpRequest& request, ServiceDesk& desk) {
  const std::string token = cookie_value(request, cookie_name);
  if (token.empty()) return {};
  const auto person = desk.store.people.session_person(token, desk.now());
  if (!person) return {};
  return Caller{*person, token};
}

void add_sign_in_routes(Router& router, ServiceDesk& desk) {
  router.add({.method = Method::post,
              .pattern = "/api/sign-in",
              .answer = [&desk](HttpRequest& request) { return sign_in(request, desk); },
              .body = BodyKind::json,
              .needs_sign_in = false});
  router.add({.method = Method::post, .pattern = "/api/sign-out", .answer = [&desk](HttpRequest& request) {
                return sign_out(request, desk);
              }});
  router.add({.pattern = "/api/me", .answer = [&desk](HttpRequest& request) {
                return json_reply(
                    200, me_json(request.caller->person.name, name(request.caller->person.role), desk));
              }});
}

}  // namespace boxfettle
