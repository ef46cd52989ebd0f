// A file being received: written piece by piece, and gone with this value unless someone has taken it away by
// then.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>

namespace boxfettle {

class UploadedFile {
 public:
  // Creates an empty file (mode 0600). Throws std::system_error when `path` is there already or cannot be
  // written.
  explicit UploadedFile(std::filesystem::path path);
  ~UploadedFile();  // removes what still lies at the path
  UploadedFile(UploadedFile&& other) noexcept;
  UploadedFile& operator=(UploadedFile&& other) noexcept;

  // Throws std::system_error when the disk is full or fails.
  void append(std::span<const char> bytes);
  void finish();  // complete: nothing more may be appended

  const std::filesystem::path& path() const { return path_; }
  std::uint64_t size() const { return size_; }

 private:
  std::filesystem::path path_;  // empty once moved from
  int descriptor_ = -1;
  std::uint64_t size_ = 0;
};

}  // namespace boxfettle
