#include "store/stored_files.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstring>
#include <utility>
#include <vector>

#include "store/random_id.hpp"
#include "store/store_error.hpp"

namespace boxfettle {
namespace fs = std::filesystem;
namespace {

[[noreturn]] void fail(const fs::path& path) {
  const int error = errno;
  const StoreFault fault = error == ENOSPC || error == EDQUOT                    ? StoreFault::full
                           : error == EACCES || error == EPERM || error == EROFS ? StoreFault::denied
                                                                                 : StoreFault::disk;
  throw StoreError(fault, path.string() + ": " + std::strerror(error) + "; nothing was kept");
}

class OpenFile {
 public:
  OpenFile(const fs::path& path, int flags)
      : path_(path), fd_(::open(path.c_str(), flags | O_CLOEXEC, 0640)) {
    if (fd_ < 0) fail(path);
  }
  ~OpenFile() { ::close(fd_); }
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;

  void write(std::span<const std::byte> bytes) {
    while (!bytes.empty()) {
      const ssize_t n = ::write(fd_, bytes.data(), bytes.size());
      if (n < 0 && errno == EINTR) continue;
      if (n < 0) fail(path_);
      bytes = bytes.subspan(static_cast<std::size_t>(n));
    }
  }

  std::span<const std::byte> read(std::span<std::byte> room) {
    for (;;) {
      const ssize_t n = ::read(fd_, room.data(), room.size());
      if (n < 0 && errno == EINTR) continue;
      if (n < 0) fail(path_);
      return room.first(static_cast<std::size_t>(n));
    }
  }

  void sync() {
    if (::fsync(fd_) != 0) fail(path_);
  }

 private:
  fs::path path_;
  int fd_;
};

void make_dir(const fs::path& dir) {
  std::error_code error;
  fs::create_directories(dir, error);
  if (!error) return;
  errno = error.value();
  fail(dir);
}

void sync_dir(const fs::path& dir) {
  OpenFile(dir, O_RDONLY | O_DIRECTORY).sync();
}

ContentHash hash_of_file(OpenFile& file) {
  ContentHasher hasher;
  std::vector<std::byte> room(1u << 20);
  for (auto some = file.read(room); !some.empty(); some = file.read(room)) hasher.add(some);
  return hasher.finish();
}

void drop_old_uploads(const fs::path& dir) {
  std::error_code ignored;  // what cannot be removed does no harm
  const auto day_ago = fs::file_time_type::clock::now() - std::chrono::hours{24};
  for (const auto& item : fs::directory_iterator(dir, ignored))
    if (item.last_write_time(ignored) < day_ago) fs::remove(item.path(), ignored);
}

}  // namespace

StoredFiles::StoredFiles(fs::path dir) : dir_(std::move(dir)) {
  make_dir(dir_ / "incoming");
  drop_old_uploads(dir_ / "incoming");
}

fs::path StoredFiles::incoming() const {
  return dir_ / "incoming" / random_hex(16);
}

fs::path StoredFiles::place_of(const ContentHash& hash) const {
  const std::string hex = hash.hex();
  return dir_ / hex.substr(0, 2) / hex.substr(2);
}

// The data is synced before the name exists, and the name before we say so.
void StoredFiles::keep(const fs::path& complete, const ContentHash& hash) const {
  const fs::path place = place_of(hash);
  make_dir(place.parent_path());
  if (::rename(complete.c_str(), place.c_str()) != 0) fail(place);
  sync_dir(place.parent_path());
  sync_dir(dir_);
}

ContentHash StoredFiles::put(std::span<const std::byte> bytes) {
  const ContentHash hash = content_hash(bytes);
  if (find(hash)) return hash;
  const fs::path written = incoming();
  try {
    OpenFile file(written, O_WRONLY | O_CREAT | O_EXCL);
    file.write(bytes);
    file.sync();
  } catch (...) {
    std::error_code ignored;
    fs::remove(written, ignored);
    throw;
  }
  keep(written, hash);
  return hash;
}

ContentHash StoredFiles::adopt(const fs::path& uploaded) {
  OpenFile file(uploaded, O_RDWR);
  const ContentHash hash = hash_of_file(file);
  file.sync();
  keep(uploaded, hash);
  return hash;
}

std::optional<fs::path> StoredFiles::find(const ContentHash& hash) const {
  fs::path place = place_of(hash);
  std::error_code ignored;
  if (!fs::is_regular_file(place, ignored)) return std::nullopt;
  return place;
}

}  // namespace boxfettle
