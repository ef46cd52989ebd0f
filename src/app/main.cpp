// The command line: finds the command, prints what it answers, and turns what went wrong into one line and a
// code.
#include <csignal>
#include <cstdio>
#include <exception>
#include <new>
#include <string>
#include <vector>

#include "app/command_help.hpp"
#include "app/command_line.hpp"
#include "app/command_table.hpp"
#include "input/input_error.hpp"
#include "input/nearest_name.hpp"

namespace boxfettle {
namespace {

int told(int exit_code, std::string line) {
  line.insert(0, "boxfettle: ");
  // The promise is one line, whatever was in a file's name.
  for (char& c : line)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = '?';
  std::fprintf(stderr, "%s\n", line.c_str());
  return exit_code;
}

int printed(const Answer& answer) {
  const bool written = std::fwrite(answer.out.data(), 1, answer.out.size(), stdout) == answer.out.size();
  if (std::fflush(stdout) != 0 || !written)
    return told(exit_failed, "standard output could not be written; check the disk or the reading program");
  return answer.exit_code;
}

const Command& command_named(const std::vector<Command>& commands, std::string_view name) {
  std::vector<std::string_view> known;
  for (const Command& command : commands) {
    if (command.name == name) return command;
    known.push_back(command.name);
  }
  throw WrongUse("unknown command '" + std::string(name) + "'; " + name_hint(name, known));
}

bool asks_for_help(std::span<const std::string> words) {
  for (const std::string& word : words) {
    if (word == "--") return false;
    if (word == "--help" || word == "-h") return true;
  }
  return false;
}

Answer answered(const std::vector<Command>& commands, std::span<const std::string> words) {
  if (words.empty()) throw WrongUse("no command given");
  const std::string& first = words.front();
  if (first == "--help" || first == "-h" || first == "help") return {program_help(commands)};
  if (first == "--version") return {"boxfettle " BOXFETTLE_VERSION "\n"};
  const Command& command = command_named(commands, first);
  words = words.subspan(1);
  if (asks_for_help(words)) return {command_help(command)};
  return command.run(CommandLine(command, words));
}

int run(const std::vector<std::string>& words) try {
  return printed(answered(command_table(), words));
} catch (const WrongUse& error) {
  return told(exit_wrong_use, std::string(error.what()) + "; see boxfettle --help");
} catch (const InputError& error) {
  return told(exit_bad_input, error.what());
} catch (const std::bad_alloc&) {
  return told(exit_failed,
              "the memory of this machine is used up; close other programs or use a smaller file");
} catch (const std::exception& error) {
  return told(exit_failed, error.what());
}

}  // namespace
}  // namespace boxfettle

int main(int argc, char** argv) {
  // A reader that goes away shows as a failed write, not as a silent death.
  std::signal(SIGPIPE, SIG_IGN);
  return boxfettle::run({argv + (argc > 0 ? 1 : 0), argv + argc});
}
