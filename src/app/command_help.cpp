#include "app/command_help.hpp"

#include <algorithm>

namespace boxfettle {
namespace {

std::string padded(std::string text, std::size_t width) {
  if (text.size() < width) text.append(width - text.size(), ' ');
  return text;
}

std::string spelled(const Option& option) {
  std::string text(option.name);
  if (!option.value.empty()) text += " " + std::string(option.value);
  return text;
}

std::string usage(const Command& command) {
  std::string text = "boxfettle " + std::string(command.name);
  for (const std::string_view operand : command.operands) text += " " + std::string(operand);
  for (const Option& option : command.options)
    text += option.needed ? " " + spelled(option) : " [" + spelled(option) + "]";
  return text;
}

constexpr std::string_view exit_codes =
    "Exit codes: 0 done, 2 wrong use, 3 bad input, 4 verdict hold with --gate, 5 anything else that "
    "failed.\n";

}  // namespace

std::string program_help(std::span<const Command> commands) {
  std::string text = "boxfettle keeps a foundry's core boxes fit to make good cores.\n\n";
  for (const Command& command : commands)
    text += "  boxfettle " + padded(std::string(command.name), 12) + std::string(command.purpose) + "\n";
  text += "\n  boxfettle COMMAND --help    what a command takes, with a worked example\n";
  text += "  boxfettle --version\n\n";
  return text + std::string(exit_codes);
}

std::string command_help(const Command& command) {
  std::string text = std::string(command.purpose) + "\n\nUse: " + usage(command) + "\n\n";
  std::size_t width = 0;
  for (const Option& option : command.options) width = std::max(width, spelled(option).size());
  for (const Option& option : command.options)
    text += "  " + padded(spelled(option), width + 2) + std::string(option.text) + "\n";
  text += "\nExample:\n\n" + std::string(command.example) + "\n";
  return text + std::string(exit_codes);
}

}  // namespace boxfettle
