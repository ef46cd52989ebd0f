#include "service/page_files.hpp"

#include <array>
#include <string_view>

#include "input/input_error.hpp"
#include "input/whole_file.hpp"
#include "shop/content_hash.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;
constexpr std::uintmax_t most_bytes = std::uintmax_t{64} << 20;

constexpr std::array<std::pair<std::string_view, std::string_view>, 14> types{{
    {".html", "text/html; charset=utf-8"},
    {".js", "text/javascript; charset=utf-8"},
    {".mjs", "text/javascript; charset=utf-8"},
    {".css", "text/css; charset=utf-8"},
    {".json", "application/json"},
    {".webmanifest", "application/manifest+json"},
    {".svg", "image/svg+xml"},
    {".png", "image/png"},
    {".jpg", "image/jpeg"},
    {".ico", "image/x-icon"},
    {".woff2", "font/woff2"},
    {".wasm", "application/wasm"},
    {".txt", "text/plain; charset=utf-8"},
    {".map", "application/json"},
}};

std::string type_of(const std::string& path) {
  const std::string extension = fs::path(path).extension().string();
  for (const auto& [known, type] : types)
    if (known == extension) return std::string(type);
  return "application/octet-stream";
}

std::string joined(const std::vector<std::string>& segments) {
  std::string path;
  for (const std::string& segment : segments) path += (path.empty() ? "" : "/") + segment;
  return path;
}

}  // namespace

PageFiles::PageFiles(const fs::path& folder) {
  std::error_code error;
  std::uintmax_t total = 0;
  for (fs::recursive_directory_iterator item(folder, error), end; item != end; item.increment(error)) {
    if (error || item->is_symlink() || !item->is_regular_file() || item->file_size() == 0) continue;
    total += item->file_size();
    if (total > most_bytes)
      throw InputError(folder.string(), "", "holds more than 64 MiB",
                       "name the folder of the built page alone");
    const WholeFile file(item->path());
    files_[fs::relative(item->path(), folder).generic_string()] = {
        std::make_shared<const std::string>(file.text()),
        '"' + content_hash(file.bytes()).hex().substr(0, 32) + '"'};
  }
  if (find("index.html") == nullptr)
    throw InputError(folder.string(), "", "has no index.html", "name the folder of the built page, web/dist");
}

const PageFiles::File* PageFiles::find(const std::string& path) const {
  const auto found = files_.find(path);
  return found == files_.end() ? nullptr : &found->second;
}

HttpReply PageFiles::answer(const HttpRequest& request) const {
  std::string path = joined(request.target.segments);
  if (fs::path(path).extension().empty()) path = "index.html";
  const File* file = find(path);
  if (file == nullptr) return problem_reply(404, "There is no such file", "Load the page again");

  HttpReply reply;
  reply.content_type = type_of(path);
  const File* packed = find(path + ".gz");
  if (packed != nullptr) {
    reply.headers.emplace_back("Vary", "Accept-Encoding");
    if (request.accept_encoding.find("gzip") != std::string::npos) {
      file = packed;
      reply.headers.emplace_back("Content-Encoding", "gzip");
    }
  }
  // The build puts a hash of their content into the names under assets/; all else is asked for again each
  // time.
  reply.headers.emplace_back(
      "Cache-Control", path.starts_with("assets/") ? "public, max-age=31536000, immutable" : "no-cache");
  reply.headers.emplace_back("ETag", file->tag);
  if (request.if_none_match == file->tag)
    reply.status = 304;
  else
    reply.body = file->bytes;
  return reply;
}

}  // namespace boxfettle
