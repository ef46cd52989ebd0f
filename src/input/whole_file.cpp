#include "input/whole_file.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

struct Descriptor {
  int fd;
  ~Descriptor() {
    if (fd >= 0) ::close(fd);
  }
};

}  // namespace

WholeFile::WholeFile(const std::filesystem::path& path) {
  const Descriptor file{::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK)};
  if (file.fd < 0)
    throw InputError(path.string(), "", std::strerror(errno), "check the path and its permissions");
  struct stat info {};
  if (::fstat(file.fd, &info) != 0)
    throw InputError(path.string(), "", std::strerror(errno), "check the disk");
  if (!S_ISREG(info.st_mode))
    throw InputError(path.string(), "", "not a regular file", "name a file, not a folder or device");
  if (info.st_size == 0) throw InputError(path.string(), "", "the file is empty", "export or copy it again");
  size_ = static_cast<std::size_t>(info.st_size);
  void* mapped = ::mmap(nullptr, size_, PROT_READ, MAP_PRIVATE | MAP_POPULATE, file.fd, 0);
  if (mapped == MAP_FAILED)
    throw InputError(path.string(), "", std::strerror(errno), "free some memory and try again");
  data_ = mapped;
}

WholeFile::~WholeFile() {
  if (data_ != nullptr) ::munmap(const_cast<void*>(data_), size_);
}

WholeFile::WholeFile(WholeFile&& other) noexcept
    : data_(std::exchange(other.data_, nullptr)), size_(std::exchange(other.size_, 0)) {}

WholeFile& WholeFile::operator=(WholeFile&& other) noexcept {
  std::swap(data_, other.data_);
  std::swap(size_, other.size_);
  return *this;
}

}  // namespace boxfettle
