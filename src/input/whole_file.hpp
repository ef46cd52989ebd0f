// A file's bytes, mapped read-only. Memory is the file's own pages: nothing is copied and nothing grows
// beyond the file.
#pragma once

#include <cstddef>
#include <filesystem>
#include <span>
#include <string_view>

namespace boxfettle {

class WholeFile {
 public:
  // Throws InputError when the path is missing, unreadable, a folder or empty.
  explicit WholeFile(const std::filesystem::path& path);
  ~WholeFile();
  WholeFile(WholeFile&& other) noexcept;
  WholeFile& operator=(WholeFile&& other) noexcept;
  WholeFile(const WholeFile&) = delete;
  WholeFile& operator=(const WholeFile&) = delete;

  std::span<const std::byte> bytes() const { return {static_cast<const std::byte*>(data_), size_}; }
  std::string_view text() const { return {static_cast<const char*>(data_), size_}; }

 private:
  const void* data_ = nullptr;
  std::size_t size_ = 0;
};

}  // namespace boxfettle
