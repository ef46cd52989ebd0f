// Files handed in beside the scans: pictures that show what an inspection saw, box files, designs, drawings.
// Kept by content; what is told of a box names them.
#include <filesystem>

#include "input/whole_file.hpp"
#include "service/file_kind.hpp"
#include "service/page_json.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {
namespace {

constexpr std::uint64_t most_photo_bytes = 16u << 20;  // a tablet's camera gives 3 to 8 MB

std::optional<HttpReply> unwanted_photo(const HttpRequest& request) {
  if (request.content_length.value_or(0) <= most_photo_bytes) return {};
  return problem_reply(413, "The photo is larger than 16 MB", "Take it again with a smaller picture size");
}

HttpReply take_photo(HttpRequest& request, ServiceDesk& desk) {
  if (request.upload->size() > most_photo_bytes)
    return problem_reply(413, "The photo is larger than 16 MB", "Take it again with a smaller picture size");
  if (!is_photo(media_type(request.upload->path())))
    return problem_reply(422, "This file is no photo", "Send a JPEG, PNG or WebP picture");
  return json_reply(201, {{"photo", desk.store.files.adopt(request.upload->path()).hex()}});
}

std::optional<HttpReply> unwanted_file(const HttpRequest& request, ServiceDesk& desk) {
  const std::uint64_t size = request.content_length.value_or(0);
  if (size > desk.most_scan_bytes)
    return problem_reply(413,
                         "The file is larger than " + std::to_string(desk.most_scan_bytes >> 20) + " MiB",
                         "Export it smaller and send it again");
  const std::uintmax_t room = std::filesystem::space(desk.store.files.incoming().parent_path()).available;
  if (size > room / 2)
    return problem_reply(507, "The disk is nearly full", "Free some space where the shop's data is kept");
  return {};
}

HttpReply take_file(HttpRequest& request, ServiceDesk& desk) {
  if (request.upload->size() == 0) return problem_reply(422, "The file is empty", "Export it again");
  return json_reply(201, {{"file", desk.store.files.adopt(request.upload->path()).hex()}});
}

std::optional<std::filesystem::path> kept(const std::string& hex, ServiceDesk& desk) {
  const bool hash = hex.size() == 64 && hex.find_first_not_of("0123456789abcdef") == std::string::npos;
  return hash ? desk.store.files.find(ContentHash::from_hex(hex)) : std::nullopt;
}

// A kept file never changes under its name; only who is signed in may keep it.
HttpReply shown(const std::filesystem::path& file, const std::string& type) {
  HttpReply reply = text_reply(200, type, std::string(WholeFile(file).text()));
  reply.headers.emplace_back("Cache-Control", "private, max-age=86400");
  return reply;
}

HttpReply show_photo(HttpRequest& request, ServiceDesk& desk) {
  const auto file = kept(request.path.at("photo"), desk);
  const std::string type = file ? media_type(*file) : "";
  if (!is_photo(type)) return problem_reply(404, "There is no such photo", "Load the page again");
  return shown(*file, type);
}

HttpReply hand_out_file(HttpRequest& request, ServiceDesk& desk) {
  const auto file = kept(request.path.at("file"), desk);
  if (!file) return problem_reply(404, "There is no such file", "Load the page again");
  HttpReply reply = shown(*file, media_type(*file));
  reply.headers.emplace_back("Content-Disposition", "attachment");  // nothing handed in runs in the page
  return reply;
}

}  // namespace

void add_file_routes(Router& router, ServiceDesk& desk) {
  router.add({.method = Method::post,
              .pattern = "/api/photos",
              .answer = [&desk](HttpRequest& request) { return take_photo(request, desk); },
              .body = BodyKind::upload,
              .before_body = unwanted_photo});
  router.add({.pattern = "/api/photos/{photo}",
              .answer = [&desk](HttpRequest& request) { return show_photo(request, desk); }});
  router.add({.method = Method::post,
              .pattern = "/api/files",
              .answer = [&desk](HttpRequest& request) { return take_file(request, desk); },
              .body = BodyKind::upload,
              .before_body = [&desk](const HttpRequest& request) { return unwanted_file(request, desk); }});
  router.add({.pattern = "/api/files/{file}",
              .answer = [&desk](HttpRequest& request) { return hand_out_file(request, desk); }});
}

}  // namespace boxfettle
