// A file's bytes, read into memory in one go. Not mapped: a file that another program cuts short while its
// pages are mapped ends the reader with a signal, and on virtual machines the first touch of every mapped
// page costs more than copying it.
#pragma once

#include <cstddef>
#include <filesystem>
#include <memory>
#include <span>
#include <string_view>

namespace boxfettle {

class WholeFile {
 public:
  // Throws InputError when the path is missing, unreadable, a folder or empty, or the file ends before its
  // size.
  explicit WholeFile(const std::filesystem::path& path);

  std::span<const std::byte> bytes() const { return {bytes_.get(), size_}; }
  std::string_view text() const { return {reinterpret_cast<const char*>(bytes_.get()), size_}; }

 private:
  std::unique_ptr<std::byte[]> bytes_;
  std::size_t size_ = 0;
};

}  // namespace boxfettle
