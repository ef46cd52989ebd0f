// The page's files, read once at start. Only what was found then can be asked for, so no path leads out of
// the folder.
#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <string>

#include "service/http_message.hpp"

namespace boxfettle {

class PageFiles {
 public:
  // Throws InputError when the folder has no index.html or holds more than 64 MiB. Links are passed over.
  explicit PageFiles(const std::filesystem::path& folder);

  // A file, or index.html for a path without an extension: the page finds its own way then. `NAME.gz` beside
  // `NAME` goes out instead to whoever takes gzip.
  HttpReply answer(const HttpRequest& request) const;

 private:
  struct File {
    std::shared_ptr<const std::string> bytes;
    std::string tag;  // entity tag, quoted
  };
  const File* find(const std::string& path) const;

  std::map<std::string, File> files_;  // by path below the folder, "assets/main-1a2b.js"
};

}  // namespace boxfettle
