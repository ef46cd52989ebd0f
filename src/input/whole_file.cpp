#include "input/whole_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <string>

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
  bytes_ = std::make_unique_for_overwrite<std::byte[]>(size_);
  for (std::size_t have = 0; have < size_;) {
    const ssize_t got = ::read(file.fd, bytes_.get() + have, size_ - have);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) throw InputError(path.string(), "", std::strerror(errno), "check the disk");
    if (got == 0)
      throw InputError(path.string(), "byte " + std::to_string(have),
                       "the file was cut short while it was read",
                       "wait until it is written, then try again");
    have += static_cast<std::size_t>(got);
  }
}

}  // namespace boxfettle
