// boxfettle-step-mesh: one STEP file in, triangles out. Started by boxfettle, which trusts neither the file
// nor this program's answer: the library that reads STEP may crash, loop or eat memory, and does it in here.
#include <fcntl.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <csignal>
#include <cstdio>
#include <new>
#include <optional>
#include <span>
#include <string_view>

#include "cad/step_meshing.hpp"

// The sanitizers keep a shadow of the whole address space, which no limit on it leaves room for.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define BOXFETTLE_SHADOWED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer) || __has_feature(memory_sanitizer)
#define BOXFETTLE_SHADOWED 1
#endif
#endif

namespace {

using namespace boxfettle;

constexpr int exit_wrong_use = 2, exit_failed = 5;

template <typename Number>
bool read_number(std::string_view text, Number& value) {
  return std::from_chars(text.data(), text.data() + text.size(), value).ptr == text.data() + text.size();
}

struct Order {
  std::filesystem::path file;
  BodyMeshing meshing;
  std::uint32_t body = 0;
  rlim_t memory_mb = 0, processor_s = 0;
};

std::optional<Order> order(std::span<char*> words) {
  if (words.size() != 7) return std::nullopt;
  Order order;
  order.file = words[1];
  const bool sound = read_number(words[2], order.meshing.deflection_mm) && order.meshing.deflection_mm > 0 &&
                     read_number(words[3], order.meshing.most_triangles) &&
                     read_number(words[4], order.body) && read_number(words[5], order.memory_mb) &&
                     read_number(words[6], order.processor_s);
  return sound ? std::optional(order) : std::nullopt;
}

void limit(decltype(RLIMIT_CORE) what, rlim_t most) {
  const rlimit both{most, most};
  ::setrlimit(what, &both);
}

// Taken upon itself before the file is opened.
void take_limits(const Order& order) {
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);  // whoever asked is gone: nobody waits for the answer
  limit(RLIMIT_CORE, 0);
  limit(RLIMIT_FSIZE, 0);  // it writes no file
  // At the first limit SIGXCPU, by which whoever asked sees that time ran out; at the second SIGKILL.
  const rlimit processor{order.processor_s, order.processor_s + 1};
  ::setrlimit(RLIMIT_CPU, &processor);
#ifndef BOXFETTLE_SHADOWED
  limit(RLIMIT_AS, order.memory_mb << 20);
#endif
}

// The answer goes where standard output was; what the library prints goes nowhere.
int answer_descriptor() {
  const int answer = ::dup(STDOUT_FILENO);
  const int nowhere = ::open("/dev/null", O_WRONLY);
  if (answer < 0 || nowhere < 0) return -1;
  ::dup2(nowhere, STDOUT_FILENO);
  ::dup2(nowhere, STDERR_FILENO);
  return answer;
}

bool write_all(int descriptor, std::span<const std::byte> bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return false;
    bytes = bytes.subspan(static_cast<std::size_t>(written));
  }
  return true;
}

std::vector<std::byte> answer(const Order& order) try {
  return step_answer_bytes(step_meshing(order.file, order.body, order.meshing));
} catch (const std::bad_alloc&) {
  return step_answer_bytes(StepRefusal{
      "DATA",
      "needs more than the " + std::to_string(order.memory_mb) + " MB that a file of its size may take",
      "export the core's body alone, or as binary STL"});
}

}  // namespace

int main(int count, char** words) {
  const auto given = order(std::span(words, static_cast<std::size_t>(count)));
  if (!given || ::isatty(STDOUT_FILENO)) {
    std::fputs("boxfettle-step-mesh is started by boxfettle to read a STEP file; run boxfettle scan --help\n",
               stderr);
    return exit_wrong_use;
  }
  const int descriptor = answer_descriptor();
  if (descriptor < 0) return exit_failed;
  take_limits(*given);
  const bool told = write_all(descriptor, answer(*given));
  // The library's own end takes time, and may crash over what a bad file has left.
  ::_exit(told ? 0 : exit_failed);
}
