#include "input/file_bytes.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

std::size_t size_of_regular_file(int descriptor, const std::string& name) {
  struct stat info {};
  if (::fstat(descriptor, &info) != 0) throw InputError(name, "", std::strerror(errno), "check the disk");
  if (!S_ISREG(info.st_mode))
    throw InputError(name, "", "not a regular file", "name a file, not a folder or device");
  if (info.st_size == 0) throw InputError(name, "", "the file is empty", "export or copy it again");
  return static_cast<std::size_t>(info.st_size);
}

}  // namespace

std::span<std::byte> FileBytes::Room::of(std::size_t size) {
  if (size > size_) {
    bytes_ = nullptr;  // before there is more, not after
    bytes_ = std::make_unique_for_overwrite<std::byte[]>(size);
    size_ = size;
  }
  return {bytes_.get(), size};
}

FileBytes::FileBytes(const std::filesystem::path& path)
    : name_(path.string()), descriptor_(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK)) {
  if (descriptor_ < 0)
    throw InputError(name_, "", std::strerror(errno), "check the path and its permissions");
  try {
    size_ = size_of_regular_file(descriptor_, name_);
  } catch (...) {
    ::close(descriptor_);
    throw;
  }
}

FileBytes::FileBytes(std::span<const std::byte> bytes, std::string name)
    : name_(std::move(name)), in_memory_(bytes.data()), size_(bytes.size()) {}

FileBytes::~FileBytes() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

std::span<const std::byte> FileBytes::stretch(std::size_t first, std::size_t count, Room& room) const {
  if (descriptor_ < 0) return {in_memory_ + first, count};
  const std::span<std::byte> into = room.of(count);
  for (std::size_t have = 0; have < count;) {
    const ssize_t got =
        ::pread(descriptor_, into.data() + have, count - have, static_cast<off_t>(first + have));
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) throw InputError(name_, "", std::strerror(errno), "check the disk");
    if (got == 0)
      throw InputError(name_, "byte " + std::to_string(first + have),
                       "the file was cut short while it was read",
                       "wait until it is written, then try again");
    have += static_cast<std::size_t>(got);
  }
  return into;
}

}  // namespace boxfettle
