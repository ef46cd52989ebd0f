#include "input/replace_file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstring>
#include <string>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

[[noreturn]] void refuse(const std::filesystem::path& path) {
  throw InputError(path.string(), "", std::string("cannot be written: ") + std::strerror(errno),
                   "check the folder, its permissions and the space left");
}

// A file that is taken away again unless it was kept.
class TemporaryFile {
 public:
  explicit TemporaryFile(const std::filesystem::path& beside)
      : name_(beside.string() + "." + std::to_string(::getpid()) + "-" + std::to_string(++count) + ".part"),
        fd_(::open(name_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666)) {
    if (fd_ < 0) refuse(beside);
  }
  ~TemporaryFile() {
    if (fd_ >= 0) ::close(fd_);
    if (fd_ >= 0 && !kept_) ::unlink(name_.c_str());
  }
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;

  bool write_all(std::span<const std::byte> bytes) const {
    while (!bytes.empty()) {
      const ssize_t written = ::write(fd_, bytes.data(), bytes.size());
      if (written < 0 && errno == EINTR) continue;
      if (written <= 0) return false;
      bytes = bytes.subspan(static_cast<std::size_t>(written));
    }
    return ::fsync(fd_) == 0;
  }
  bool keep_as(const std::filesystem::path& path) {
    kept_ = ::rename(name_.c_str(), path.c_str()) == 0;
    return kept_;
  }

 private:
  inline static std::atomic<unsigned> count = 0;  // two threads may write beside each other
  std::string name_;
  int fd_;
  bool kept_ = false;
};

// Without this the rename itself may be lost with the power.
void sync_folder(const std::filesystem::path& path) {
  const std::filesystem::path folder = path.has_parent_path() ? path.parent_path() : ".";
  const int fd = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0) return;
  ::fsync(fd);
  ::close(fd);
}

}  // namespace

void replace_file(const std::filesystem::path& path, std::span<const std::byte> bytes) {
  TemporaryFile file(path);
  if (!file.write_all(bytes) || !file.keep_as(path)) refuse(path);
  sync_folder(path);
}

}  // namespace boxfettle
