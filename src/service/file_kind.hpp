// What kind of file some bytes are, by how they begin: what a sender calls them does not count.
#pragma once

#include <filesystem>
#include <string>

namespace boxfettle {

// "image/jpeg", "image/png", "image/webp", "application/pdf", "model/step"; else "application/octet-stream".
std::string media_type(const std::filesystem::path& file);

inline bool is_photo(const std::string& media_type) {
  return media_type.starts_with("image/");
}

}  // namespace boxfettle
