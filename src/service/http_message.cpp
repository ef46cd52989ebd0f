#include "service/http_message.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

namespace boxfettle {

HttpReply text_reply(int status, std::string content_type, std::string body) {
  HttpReply reply;
  reply.status = status;
  reply.content_type = std::move(content_type);
  reply.body = std::make_shared<const std::string>(std::move(body));
  return reply;
}

HttpReply problem_reply(int status, const std::string& what, const std::string& mend,
                        const std::string& place) {
  nlohmann::json problem{{"what", what}, {"mend", mend}};
  if (!place.empty()) problem["place"] = place;
  // `replace`: a message may quote bytes of a file that are no UTF-8, and telling must not fail over them.
  return text_reply(status, "application/json",
                    problem.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace));
}

std::string cookie_value(const HttpRequest& request, std::string_view name) {
  std::string_view rest = request.cookie;
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find(';'), rest.size());
    std::string_view pair = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    pair.remove_prefix(std::min(pair.find_first_not_of(' '), pair.size()));
    if (pair.size() > name.size() && pair.starts_with(name) && pair[name.size()] == '=')
      return std::string(pair.substr(name.size() + 1));
  }
  return {};
}

std::optional<std::string> asked_text(const HttpRequest& request, const std::string& name) {
  const auto found = request.target.query.find(name);
  return found == request.target.query.end() ? std::nullopt : std::optional(found->second);
}

}  // namespace boxfettle
