#include "service/uploaded_file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <system_error>
#include <utility>

namespace boxfettle {
namespace {

[[noreturn]] void fail(const std::filesystem::path& path) {
  throw std::system_error(errno, std::generic_category(), path.string());
}

}  // namespace

UploadedFile::UploadedFile(std::filesystem::path path) {
  descriptor_ = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
  if (descriptor_ < 0) fail(path);
  path_ = std::move(path);
}

UploadedFile::~UploadedFile() {
  if (descriptor_ >= 0) ::close(descriptor_);
  if (!path_.empty()) ::unlink(path_.c_str());
}

UploadedFile::UploadedFile(UploadedFile&& other) noexcept
    : path_(std::exchange(other.path_, {})),
      descriptor_(std::exchange(other.descriptor_, -1)),
      size_(std::exchange(other.size_, 0)) {}

UploadedFile& UploadedFile::operator=(UploadedFile&& other) noexcept {
  std::swap(path_, other.path_);
  std::swap(descriptor_, other.descriptor_);
  std::swap(size_, other.size_);
  return *this;
}

void UploadedFile::append(std::span<const char> bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor_, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) fail(path_);
    size_ += static_cast<std::uint64_t>(written);
    bytes = bytes.subspan(static_cast<std::size_t>(written));
  }
}

void UploadedFile::finish() {
  if (::close(std::exchange(descriptor_, -1)) != 0) fail(path_);
}

}  // namespace boxfettle
