// One command of the program: what it takes, how it is explained, what it does.
//
// To add one: write <name>_command.cpp with a function that returns its Command, and name it in
// command_table.cpp.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

class CommandLine;

// What the program leaves with. 3 (bad input) and 2 (wrong use) are thrown: InputError and WrongUse.
enum ExitCode { exit_done = 0, exit_wrong_use = 2, exit_bad_input = 3, exit_held = 4, exit_failed = 5 };

struct Option {
  std::string_view name;   // "--design"
  std::string_view value;  // what follows it in the help, "FILE"; empty for a switch
  std::string_view text;   // one line of help
  bool needed = false;
};

// What a command has to say, given whole: nothing reaches standard output when it fails half-way.
struct Answer {
  std::string out;
  int exit_code = exit_done;
};

struct Command {
  std::string_view name;
  std::string_view purpose;                // one line in `boxfettle --help`
  std::vector<std::string_view> operands;  // "B", "DATA.csv"; each is needed
  std::vector<Option> options;             // --help is understood by every command and not listed
  std::string_view example;                // a worked example: what to type, what comes back, how to read it
  Answer (*run)(const CommandLine& line);
};

// Options that read the same wherever they are taken.
inline constexpr Option json_option{"--json", "",
                                    "print one JSON object on standard output and nothing else"};
inline constexpr Option gate_option{"--gate", "", "leave with exit code 4 when the verdict is hold"};

// The program was called wrongly: exit code 2, with the message and where to read on.
class WrongUse : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

}  // namespace boxfettle
