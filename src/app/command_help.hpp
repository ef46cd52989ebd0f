// What `--help` prints.
#pragma once

#include <span>
#include <string>

#include "app/command.hpp"

namespace boxfettle {

std::string program_help(std::span<const Command> commands);
std::string command_help(const Command& command);

}  // namespace boxfettle
