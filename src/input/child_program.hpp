// Running another program for what it writes, trusting it with nothing: it gets no open file of ours, and
// neither its time nor its answer can grow without end.
#pragma once

#include <chrono>
#include <cstddef>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace boxfettle {

struct ChildLimits {
  std::chrono::seconds time{60};                  // then it is killed
  std::size_t most_bytes = std::size_t{1} << 30;  // of its answer; then it is killed
  // Called about ten times a second; may throw to give up, which kills the program.
  std::function<void()> while_waiting = {};
};

struct ChildEnd {
  enum class How {
    left,         // by itself, with `code`
    by_signal,    // `code` is the signal
    out_of_time,  // killed by us
    wrote_too_much,
    not_started,  // `code` is the errno
  };
  How how;
  int code = 0;
  std::vector<std::byte> written;  // on its standard output
};

// Its standard input and standard error are nowhere. Throws what `while_waiting` throws.
ChildEnd run_child_program(const std::filesystem::path& program, const std::vector<std::string>& words,
                           const ChildLimits& limits);

}  // namespace boxfettle
