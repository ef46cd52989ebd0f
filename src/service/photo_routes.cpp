// Pictures that show what an inspection saw. Kept by content beside the scans; an inspection names them.
#include <algorithm>
#include <array>
#include <fstream>

#include "input/whole_file.hpp"
#include "service/page_json.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {
namespace {

constexpr std::uint64_t most_photo_bytes = 16u << 20;  // a tablet's camera gives 3 to 8 MB

// By its first bytes: what a sender calls it does not count, since it is shown to others later.
std::string photo_type(std::string_view head) {
  if (head.starts_with("\xFF\xD8\xFF")) return "image/jpeg";
  if (head.starts_with("\x89PNG\r\n\x1A\n")) return "image/png";
  if (head.starts_with("RIFF") && head.substr(std::min<std::size_t>(8, head.size())).starts_with("WEBP"))
    return "image/webp";
  return {};
}

std::string head_of(const std::filesystem::path& file) {
  std::array<char, 16> bytes{};
  std::ifstream in(file, std::ios::binary);
  in.read(bytes.data(), bytes.size());
  return std::string(bytes.data(), static_cast<std::size_t>(in.gcount()));
}

std::optional<HttpReply> unwanted_photo(const HttpRequest& request) {
  if (request.content_length.value_or(0) <= most_photo_bytes) return {};
  return problem_reply(413, "The photo is larger than 16 MB", "Take it again with a smaller picture size");
}

HttpReply take_photo(HttpRequest& request, ServiceDesk& desk) {
  if (request.upload->size() > most_photo_bytes) return *unwanted_photo(request);
  if (photo_type(head_of(request.upload->path())).empty())
    return problem_reply(422, "This file is no photo", "Send a JPEG, PNG or WebP picture");
  return json_reply(201, {{"photo", desk.store.files.adopt(request.upload->path()).hex()}});
}

HttpReply no_such_photo() {
  return problem_reply(404, "There is no such photo", "Load the page again");
}

HttpReply show_photo(HttpRequest& request, ServiceDesk& desk) {
  const std::string& hex = request.path.at("photo");
  const bool hash = hex.size() == 64 && hex.find_first_not_of("0123456789abcdef") == std::string::npos;
  const auto file = hash ? desk.store.files.find(ContentHash::from_hex(hex)) : std::nullopt;
  const std::string type = file ? photo_type(head_of(*file)) : "";
  if (type.empty()) return no_such_photo();  // designs and scans are kept beside the photos
  HttpReply reply = text_reply(200, type, std::string(WholeFile(*file).text()));
  reply.headers.emplace_back("Cache-Control", "private, max-age=86400");
  return reply;
}

}  // namespace

void add_photo_routes(Router& router, ServiceDesk& desk) {
  router.add({.method = Method::post,
              .pattern = "/api/photos",
              .answer = [&desk](HttpRequest& request) { return take_photo(request, desk); },
              .body = BodyKind::upload,
              .before_body = unwanted_photo});
  router.add({.pattern = "/api/photos/{photo}",
              .answer = [&desk](HttpRequest& request) { return show_photo(request, desk); }});
}

}  // namespace boxfettle
