// The words after a command's name, sorted into operands and options.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "app/command.hpp"

namespace boxfettle {

class CommandLine {
 public:
  // Both `--name value` and `--name=value`; after `--` everything is an operand, and so is "-4.5".
  // Throws WrongUse: unknown option, option given twice, value missing, too few or too many operands.
  CommandLine(const Command& command, std::span<const std::string> words);

  bool has(std::string_view option) const { return values_.contains(option); }
  std::optional<std::string> value(std::string_view option) const;
  std::string needed(std::string_view option) const;  // of an option marked so, which is there
  // Throws WrongUse when the value is not a finite number within [low, high].
  std::optional<double> number(std::string_view option, double low, double high) const;
  const std::string& operand(std::size_t i) const { return operands_.at(i); }

 private:
  void take_option(const Command& command, std::string_view word, std::span<const std::string>& rest);
  void check_complete(const Command& command) const;

  std::map<std::string, std::string, std::less<>> values_;
  std::vector<std::string> operands_;
};

}  // namespace boxfettle
