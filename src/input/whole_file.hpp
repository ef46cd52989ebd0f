// A file's bytes, read into memory in one go.
#pragma once

#include <cstddef>
#include <filesystem>
#include <span>
#include <string_view>

#include "input/file_bytes.hpp"

namespace boxfettle {

class WholeFile {
 public:
  // Throws InputError when the path is missing, unreadable, a folder or empty, or the file ends before its
  // size.
  explicit WholeFile(const std::filesystem::path& path) {
    const FileBytes file(path);
    bytes_ = file.whole(room_);
  }

  std::span<const std::byte> bytes() const { return bytes_; }
  std::string_view text() const { return as_text(bytes_); }

 private:
  FileBytes::Room room_;
  std::span<const std::byte> bytes_;
};

}  // namespace boxfettle
