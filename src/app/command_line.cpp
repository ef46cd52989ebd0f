#include "app/command_line.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>

#include "input/nearest_name.hpp"

namespace boxfettle {
namespace {

const Option& option_named(const Command& command, std::string_view name) {
  std::vector<std::string_view> known;
  for (const Option& option : command.options) {
    if (option.name == name) return option;
    known.push_back(option.name);
  }
  throw WrongUse("unknown option '" + std::string(name) + "'; " + name_hint(name, known));
}

bool is_option(std::string_view word) {
  const bool number =
      word.size() > 1 && (std::isdigit(static_cast<unsigned char>(word[1])) != 0 || word[1] == '.');
  return word.size() > 1 && word.front() == '-' && !number;
}

}  // namespace

CommandLine::CommandLine(const Command& command, std::span<const std::string> words) {
  bool options_ended = false;
  while (!words.empty()) {
    const std::string_view word = words.front();
    words = words.subspan(1);
    if (!options_ended && word == "--")
      options_ended = true;
    else if (!options_ended && is_option(word))
      take_option(command, word, words);
    else
      operands_.emplace_back(word);
  }
  check_complete(command);
}

void CommandLine::take_option(const Command& command, std::string_view word,
                              std::span<const std::string>& rest) {
  const std::size_t equals = word.find('=');
  const Option& option = option_named(command, word.substr(0, equals));
  const std::string name(option.name);
  std::string value;
  if (option.value.empty()) {
    if (equals != std::string_view::npos) throw WrongUse(name + " takes no value");
  } else if (equals != std::string_view::npos) {
    value = word.substr(equals + 1);
  } else {
    if (rest.empty() || rest.front().starts_with("--"))
      throw WrongUse(name + " needs a value: " + name + " " + std::string(option.value));
    value = rest.front();
    rest = rest.subspan(1);
  }
  if (!option.value.empty() && value.empty()) throw WrongUse(name + " has an empty value");
  if (!values_.emplace(name, value).second) throw WrongUse(name + " is given twice");
}

void CommandLine::check_complete(const Command& command) const {
  for (const Option& option : command.options)
    if (option.needed && !has(option.name))
      throw WrongUse(std::string(option.name) + " " + std::string(option.value) + " is missing");
  if (operands_.size() < command.operands.size())
    throw WrongUse(std::string(command.operands[operands_.size()]) + " is missing");
  if (operands_.size() > command.operands.size())
    throw WrongUse("'" + operands_[command.operands.size()] + "' is one word too many");
}

std::optional<std::string> CommandLine::value(std::string_view option) const {
  const auto found = values_.find(option);
  if (found == values_.end()) return std::nullopt;
  return found->second;
}

std::string CommandLine::needed(std::string_view option) const {
  return values_.find(option)->second;
}

std::optional<double> CommandLine::number(std::string_view option, double low, double high) const {
  const auto text = value(option);
  if (!text) return std::nullopt;
  double parsed = 0;
  const char* const end = text->data() + text->size();
  const auto [stopped, error] = std::from_chars(text->data(), end, parsed);
  if (error != std::errc{} || stopped != end || !(parsed >= low && parsed <= high)) {
    const auto shown = [](double limit) {
      char digits[32];
      return std::string(digits, std::to_chars(digits, digits + sizeof digits, limit).ptr);
    };
    throw WrongUse(std::string(option) + " takes a number from " + shown(low) + " to " + shown(high) +
                   ", not '" + *text + "'");
  }
  return parsed;
}

}  // namespace boxfettle
