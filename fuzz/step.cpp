#include <sys/mman.h>
#include <unistd.h>

#include <cstdlib>
#include <string>

#include "fuzz/readers.hpp"
#include "geometry/step_file.hpp"
#include "geometry/surface_file.hpp"
#include "input/input_error.hpp"

namespace boxfettle::fuzz {
namespace {

// A file without a place on the disk.
class FileInMemory {
 public:
  explicit FileInMemory(Bytes bytes) : descriptor_(::memfd_create("step", MFD_CLOEXEC)) {
    if (descriptor_ < 0 ||
        ::write(descriptor_, bytes.data(), bytes.size()) != static_cast<ssize_t>(bytes.size()))
      std::abort();
  }
  ~FileInMemory() { ::close(descriptor_); }
  FileInMemory(const FileInMemory&) = delete;
  FileInMemory& operator=(const FileInMemory&) = delete;

  // By this process's number, not "self": another program opens it.
  std::string path() const {
    return "/proc/" + std::to_string(::getpid()) + "/fd/" + std::to_string(descriptor_);
  }

 private:
  int descriptor_;
};

}  // namespace

// Through the program that reads STEP, one per attempt: whatever becomes of it, a refusal or a mesh comes
// back.
void step(Bytes bytes) {
  constexpr std::size_t most = 64 * 1024;
  if (bytes.empty() || bytes.size() > most) return;
  const FileInMemory file(bytes);
  StepReading reading;
  reading.mesher = BOXFETTLE_STEP_MESHER;
  reading.deflection_mm = 0.5;
  reading.most_triangles = 20000;
  reading.processor_s = 3;
  try {
    expect_sound(read_surface_file(file.path(), reading));
  } catch (const InputError&) {  // a refusal is an answer
  }
}

}  // namespace boxfettle::fuzz
