// A file's bytes, taken stretch by stretch: a scan of a gigabyte need not lie in memory beside its points,
// and a stretch that fits the processor's cache is looked at where it was read to. Not mapped: a file that
// another program cuts short while its pages are mapped ends the reader with a signal, and on virtual
// machines the first touch of every mapped page costs more than copying it.
#pragma once

#include <cstddef>
#include <filesystem>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace boxfettle {

class FileBytes {
 public:
  // Where stretches are read to, one after the other.
  class Room {
   public:
    std::span<std::byte> of(std::size_t size);

   private:
    std::unique_ptr<std::byte[]> bytes_;
    std::size_t size_ = 0;
  };

  // Throws InputError when the path is missing, unreadable, a folder or empty.
  explicit FileBytes(const std::filesystem::path& path);
  // Bytes that are in memory already and outlive this; faults name them `name`.
  FileBytes(std::span<const std::byte> bytes, std::string name);
  ~FileBytes();
  FileBytes(const FileBytes&) = delete;
  FileBytes& operator=(const FileBytes&) = delete;

  std::size_t size() const { return size_; }
  const std::string& name() const { return name_; }

  // Bytes first .. first + count, all within the size. They last as long as `room` is not used again. May be
  // called from several threads at once, each with a room of its own. Throws InputError when the file ends
  // before its size or the disk fails.
  std::span<const std::byte> stretch(std::size_t first, std::size_t count, Room& room) const;
  std::span<const std::byte> whole(Room& room) const { return stretch(0, size_, room); }

 private:
  std::string name_;
  const std::byte* in_memory_ = nullptr;
  int descriptor_ = -1;
  std::size_t size_ = 0;
};

inline std::string_view as_text(std::span<const std::byte> bytes) {
  return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

}  // namespace boxfettle
