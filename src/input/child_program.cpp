#include "input/child_program.hpp"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <optional>
#include <thread>
#include <utility>

namespace boxfettle {
namespace {

using Clock = std::chrono::steady_clock;

class Pipe {
 public:
  Pipe() : made_(::pipe2(ends_.data(), O_CLOEXEC) == 0) {}
  ~Pipe() {
    close_writing();
    if (made_) ::close(ends_[0]);
  }
  Pipe(const Pipe&) = delete;
  Pipe& operator=(const Pipe&) = delete;

  bool made() const { return made_; }
  int reading() const { return ends_[0]; }
  int writing() const { return ends_[1]; }
  void close_writing() {
    if (made_ && ends_[1] >= 0) ::close(std::exchange(ends_[1], -1));
  }

 private:
  std::array<int, 2> ends_{-1, -1};
  bool made_;
};

// What the child starts with: standard streams, no other descriptor, no blocked or ignored signal.
class StartingPoint {
 public:
  explicit StartingPoint(int answer) {
    ::posix_spawn_file_actions_init(&actions_);
    ::posix_spawn_file_actions_addopen(&actions_, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    ::posix_spawn_file_actions_adddup2(&actions_, answer, STDOUT_FILENO);
    ::posix_spawn_file_actions_addopen(&actions_, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    ::posix_spawn_file_actions_addclosefrom_np(&actions_, STDERR_FILENO + 1);
    sigset_t none, all;
    ::sigemptyset(&none);
    ::sigfillset(&all);
    ::posix_spawnattr_init(&attributes_);
    ::posix_spawnattr_setsigmask(&attributes_, &none);
    ::posix_spawnattr_setsigdefault(&attributes_, &all);
    ::posix_spawnattr_setflags(&attributes_, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF);
  }
  ~StartingPoint() {
    ::posix_spawnattr_destroy(&attributes_);
    ::posix_spawn_file_actions_destroy(&actions_);
  }
  StartingPoint(const StartingPoint&) = delete;
  StartingPoint& operator=(const StartingPoint&) = delete;

  int spawn(pid_t& child, const char* program, char* const* arguments) const {
    return ::posix_spawn(&child, program, &actions_, &attributes_, arguments, environ);
  }

 private:
  posix_spawn_file_actions_t actions_;
  posix_spawnattr_t attributes_;
};

// Ended and reaped, whatever happens in between.
class Child {
 public:
  explicit Child(pid_t id) : id_(id) {}
  ~Child() {
    if (id_ > 0) killed();
  }
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;

  void killed() {
    ::kill(id_, SIGKILL);
    int status = 0;
    while (::waitpid(id_, &status, 0) < 0 && errno == EINTR) {
    }
    id_ = 0;
  }
  // Its status once it has ended; nothing when it lives on at that time.
  std::optional<int> ended_before(Clock::time_point time) {
    for (int status = 0;;) {
      const pid_t found = ::waitpid(id_, &status, WNOHANG);
      if (found == 0 && Clock::now() < time) {
        std::this_thread::sleep_for(std::chrono::milliseconds(1));
      } else if (found == 0) {
        return std::nullopt;
      } else if (found > 0 || errno != EINTR) {
        id_ = 0;
        return status;
      }
    }
  }

 private:
  pid_t id_;
};

ChildEnd said_all(Child& child, Clock::time_point end, std::vector<std::byte> written) {
  const std::optional<int> status = child.ended_before(end);
  if (!status) {
    child.killed();
    return {ChildEnd::How::out_of_time, 0, {}};
  }
  if (WIFSIGNALED(*status)) return {ChildEnd::How::by_signal, WTERMSIG(*status), std::move(written)};
  return {ChildEnd::How::left, WEXITSTATUS(*status), std::move(written)};
}

ChildEnd listen(Child& child, int answer, const ChildLimits& limits) {
  constexpr int look_again_ms = 100;
  const Clock::time_point end = Clock::now() + limits.time;
  std::vector<std::byte> written;
  std::array<std::byte, 65536> piece;
  Clock::time_point told = Clock::now();
  for (;;) {
    pollfd ready{answer, POLLIN, 0};
    const int found = ::poll(&ready, 1, look_again_ms);
    const Clock::time_point now = Clock::now();
    if (limits.while_waiting && now - told >= std::chrono::milliseconds(look_again_ms)) {
      limits.while_waiting();
      told = now;
    }
    if (now >= end) {
      child.killed();
      return {ChildEnd::How::out_of_time, 0, {}};
    }
    if (found <= 0) continue;
    const ssize_t got = ::read(answer, piece.data(), piece.size());
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return said_all(child, end, std::move(written));
    written.insert(written.end(), piece.begin(), piece.begin() + got);
    if (written.size() > limits.most_bytes) {
      child.killed();
      return {ChildEnd::How::wrote_too_much, 0, {}};
    }
  }
}

}  // namespace

ChildEnd run_child_program(const std::filesystem::path& program, const std::vector<std::string>& words,
                           const ChildLimits& limits) {
  Pipe answer;
  if (!answer.made()) return {ChildEnd::How::not_started, errno, {}};
  std::vector<char*> arguments{const_cast<char*>(program.c_str())};
  for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
  arguments.push_back(nullptr);
  pid_t id = 0;
  const int fault = StartingPoint(answer.writing()).spawn(id, program.c_str(), arguments.data());
  if (fault != 0) return {ChildEnd::How::not_started, fault, {}};
  Child child(id);
  answer.close_writing();
  return listen(child, answer.reading(), limits);
}

}  // namespace boxfettle
