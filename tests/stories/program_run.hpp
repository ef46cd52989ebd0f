// Running the program, or a tool beside it, the way a person at a prompt does.
#pragma once

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace boxfettle {

struct Ran {
  int exit_code;
  std::string out, err;
  long peak_kb = 0;  // the most memory it held
};

inline std::string content(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

// No shell in between: the words arrive as they are; the first is the program. What it prints goes through
// files in `folder`.
inline Ran run_program(std::vector<std::string> words, const std::filesystem::path& folder) {
  const std::filesystem::path out = folder / "printed", err = folder / "complained";
  const pid_t child = ::fork();
  if (child == 0) {
    ::dup2(::open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600), STDOUT_FILENO);
    ::dup2(::open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600), STDERR_FILENO);
    std::vector<char*> arguments;
    for (std::string& word : words) arguments.push_back(word.data());
    arguments.push_back(nullptr);
    ::execvp(arguments[0], arguments.data());
    ::_exit(127);
  }
  int status = 0;
  struct rusage used {};
  ::wait4(child, &status, 0, &used);
  const Ran ran{WIFEXITED(status) ? WEXITSTATUS(status) : -1, content(out), content(err), used.ru_maxrss};
  std::filesystem::remove(out);
  std::filesystem::remove(err);
  return ran;
}

}  // namespace boxfettle
